"""What is handed out beside the track."""
