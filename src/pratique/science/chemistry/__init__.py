"""Water chemistry: ammonia and dilution."""
