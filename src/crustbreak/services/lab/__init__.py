"""The lab's own settings, protocols, bowls and identity."""
