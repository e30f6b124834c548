"""From a roof face and a module's size to a drawing's content: what stays clear, where modules lie, what they weigh."""
