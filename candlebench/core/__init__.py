"""The rules of a melt: events, stages, forecasts, cues and alarms. No window, no port, no clock."""
