// Scans and their points as a scanner would give them: in a frame of its own.

/** A rigid motion: some 20 degrees about two axes, and a shift in mm. */
export function tilted([x, y, z]) {
  const [c, s] = [Math.cos(0.4), Math.sin(0.4)], [d, e] = [Math.cos(0.3), Math.sin(0.3)];
  const [a, b] = [c * x - s * y, s * x + c * y];
  return [a + 31, d * b - e * z - 12, e * b + d * z + 7];
}

/** A binary STL with every corner moved; normals are left to be worked out. */
export function posedStl(bytes, pose) {
  const out = Buffer.from(bytes), count = out.readUInt32LE(80);
  for (let t = 0; t < count; t += 1) {
    const at = 84 + 50 * t;
    out.fill(0, at, at + 12);
    for (let corner = at + 12; corner < at + 48; corner += 12) {
      const moved = pose([0, 4, 8].map((k) => out.readFloatLE(corner + k)));
      moved.forEach((value, k) => out.writeFloatLE(value, corner + 4 * k));
    }
  }
  return out;
}

export const posedPoints = (points, pose) => Object.fromEntries(Object.entries(points).map(([name, at]) => [name, pose(at)]));

/** What a scanner sees of an arch: the triangles whose corners are all kept, without the base below the gum. */
export function openStl(bytes, kept) {
  const parts = [];
  for (let t = 0; t < bytes.readUInt32LE(80); t += 1) {
    const at = 84 + 50 * t;
    const corner = (k) => [0, 4, 8].map((axis) => bytes.readFloatLE(at + 12 + 12 * k + axis));
    if ([0, 1, 2].every((k) => kept(corner(k)))) parts.push(bytes.subarray(at, at + 50));
  }
  const head = Buffer.from(bytes.subarray(0, 84));
  head.writeUInt32LE(parts.length, 80);
  return Buffer.concat([head, ...parts]);
}
