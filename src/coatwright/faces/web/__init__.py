"""The web app for the shop: pages for a phone in a gloved hand, and the same at a desk."""
