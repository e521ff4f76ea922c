"""VTK's STL reader, which welds, on the files that `engine_bench --write DIR` left. Appends to DIR/rivals.txt.

    python3 stl_vtk.py DIR        (Debian: python3-vtk9)
"""
import pathlib
import sys
import time

from vtkmodules.vtkIOGeometry import vtkSTLReader

RUNS = 9
folder = pathlib.Path(sys.argv[1])
for path in sorted(folder.glob('*.stl')):
    times = []
    for _ in range(RUNS):
        reader = vtkSTLReader()
        reader.SetFileName(str(path))
        begin = time.process_time()
        reader.Update()
        times.append(1e3 * (time.process_time() - begin))
    median = sorted(times)[RUNS // 2]
    points = reader.GetOutput().GetNumberOfPoints()
    print(f'{path.stem}: {points} points, median {median:.2f} ms')
    with open(folder / 'rivals.txt', 'a', encoding='utf-8') as out:
        out.write(f'stl {path.stem} {median} {points}\n')
