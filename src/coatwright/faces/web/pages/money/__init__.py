"""Money: estimate, spent, forecast, extra work, answers, bill."""
