"""The ledger: who did what when, refusals too."""
