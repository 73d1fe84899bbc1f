"""Who pours, breaks and skims which cup, and when: the work at a table, before the first pour."""
