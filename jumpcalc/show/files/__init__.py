"""Line files, the JSON answer and the bundled examples."""
