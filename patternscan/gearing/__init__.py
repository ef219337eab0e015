"""The worm pair as geometry: surfaces, meshing and the unloaded contact. Cylindrical worms only; numpy only."""
