"""What can be stated: one frozen model a kind; the season folder and live entry."""
