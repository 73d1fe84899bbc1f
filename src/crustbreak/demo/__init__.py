"""An invented lab, filled through the services as anyone would fill it."""
