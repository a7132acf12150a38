"""The window: shows a MeltState and turns keys and clicks into Actions."""
