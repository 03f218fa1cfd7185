"""Rules proved before they are used, and taken into use while answers go on."""
