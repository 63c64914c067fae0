"""What is wrong at a saw: likely causes of a symptom, from the usual ones and this cut's own numbers."""
