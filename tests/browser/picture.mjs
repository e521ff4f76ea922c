// What a screenshot shows, in numbers: decoded by the browser itself.

/** Colour count and share of the commonest colour of an area of the page (whole page by default). */
export async function colours(page, clip) {
  const png = (await page.screenshot(clip ? { clip } : {})).toString('base64');
  return page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const context = canvas.getContext('2d');
    context.drawImage(bitmap, 0, 0);
    const data = new Uint32Array(context.getImageData(0, 0, bitmap.width, bitmap.height).data.buffer);
    const seen = new Map();
    for (const value of data) seen.set(value, (seen.get(value) ?? 0) + 1);
    return { count: seen.size, commonest: Math.max(...seen.values()) / data.length, width: bitmap.width, height: bitmap.height };
  }, png);
}
