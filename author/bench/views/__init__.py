"""What the window shows: each view reads the session and turns deeds into commands."""
