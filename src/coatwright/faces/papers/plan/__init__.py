"""The papers of a plan, each as the data of one part of the job pack: order and words only."""
