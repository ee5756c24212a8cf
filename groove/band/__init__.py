"""The players: pattern files, drummer, bassist, comper, feel and touch."""
