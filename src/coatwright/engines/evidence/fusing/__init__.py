"""Prediction and readings together."""
