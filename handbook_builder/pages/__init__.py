"""What each page says, in view objects without markup."""
