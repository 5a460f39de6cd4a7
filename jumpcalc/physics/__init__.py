"""Nature: air, ground, flight, rolling and impact; knows no jump, no rider's question, no file."""
