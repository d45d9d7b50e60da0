"""Studies of a rig: rehearsing a fault before class. Nothing here prints or knows of a screen."""
