"""What the services need from outside, as Protocols, records and errors."""
