// Overlap volumes by manifold-3d (`npm install` in this folder) on the bodies and poses that `engine_bench --write DIR`
// left: the intersection of two prepared solids, moved, and its volume, the median over the poses. Appends to
// DIR/rivals.txt.   node volume_manifold.mjs DIR
import { appendFileSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import Module from 'manifold-3d'

const folder = process.argv[2]
const RUNS = 9, SLOW_MS = 100 // slow ones are not asked in every pose
const wasm = await Module()
wasm.setup()

function read(path) {
  const bytes = readFileSync(path)
  let at = 0
  const numbers = (Type, count) => {
    const out = new Type(bytes.buffer.slice(bytes.byteOffset + at, bytes.byteOffset + at + count * Type.BYTES_PER_ELEMENT))
    at += count * Type.BYTES_PER_ELEMENT
    return out
  }
  const body = () => {
    const [points, triangles] = numbers(Uint32Array, 2)
    return new wasm.Mesh({ numProp: 3, vertProperties: numbers(Float32Array, 3 * points), triVerts: numbers(Uint32Array, 3 * triangles) })
  }
  const bodies = [body(), body()]
  const poses = []
  for (let i = 0; i < 40; ++i) poses.push(Array.from(numbers(Float64Array, 16)))
  return { bodies, poses }
}

for (const file of readdirSync(folder).filter(name => name.endsWith('.bodies')).sort()) {
  const name = file.replace('.bodies', '')
  const { bodies, poses } = read(join(folder, file))
  let solids
  try {
    solids = bodies.map(mesh => new wasm.Manifold(mesh))
  } catch (error) {
    console.log(`${name}: no solid for manifold-3d (${error.message ?? error})`)
    continue
  }
  const times = []
  let volume = 0
  for (const pose of poses) {
    if (times.length >= RUNS && times[0] > SLOW_MS) break
    const begin = process.cpuUsage()
    const moved = solids[1].transform(pose)
    const both = solids[0].intersect(moved)
    volume = both.volume()
    const used = process.cpuUsage(begin)
    times.push((used.user + used.system) / 1e3)
    moved.delete()
    both.delete()
  }
  times.sort((a, b) => a - b)
  const median = times[times.length >> 1]
  console.log(`${name}: volume ${volume.toFixed(9)} mm3 at the last pose, median ${median.toFixed(2)} ms`)
  appendFileSync(join(folder, 'rivals.txt'), `volume ${name} ${median} ${volume}\n`)
}
