"""The usual cautions, said once on every face and every paper."""

CAUTIONS = (
    "This work can hurt: battery current burns and starts fires, batteries give off gas and acid, airbags fire, "
    "traction voltage kills, and radio-frequency fields burn and heat.",
    "Disconnect the battery, and follow the vehicle maker's instructions, the local codes and licensed practice; "
    "they stand above anything said here.",
    "What follows lists which checks were made, on which assumptions, and what was not checked. It is no statement "
    "that an installation is fit for use.",
)
