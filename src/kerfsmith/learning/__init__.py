"""What the cut log teaches: factors with intervals over published figures, and charts that say what moved."""
