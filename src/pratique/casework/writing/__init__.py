"""Writing into the ledger: what each form asks, what is wrong with an answer, and the entries it makes."""
