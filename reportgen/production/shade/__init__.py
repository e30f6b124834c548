"""What horizon, obstacles and the string's own rule leave of the light on a roof face."""
