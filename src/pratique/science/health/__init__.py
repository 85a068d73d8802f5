"""How an animal does: appetite, breathing, condition and rest."""
