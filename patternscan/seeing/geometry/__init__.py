"""Where the flank lies in the photo and in space: outline, pose, camera, rectified flank."""
