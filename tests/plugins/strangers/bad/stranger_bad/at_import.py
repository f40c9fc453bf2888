raise RuntimeError("this module cannot be imported")
