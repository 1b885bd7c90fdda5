"""Sun, weather and what a panel makes of them: numbers and small records in, arrays out; no plan."""
