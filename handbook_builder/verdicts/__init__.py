"""From readings to approved: pure functions of the records, the protocol and a day."""
