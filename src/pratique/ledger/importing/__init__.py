"""A keeper's own spreadsheet into the ledger: what is certain goes in, what is not is kept aside with the reason."""
