"""What a person wrote: the model, its schemas, its file and its edits."""
