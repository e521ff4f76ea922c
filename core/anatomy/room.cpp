// Placeholder translation unit so that the room builds; removed with the first real file.
