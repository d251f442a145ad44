/* Reads the code of a tag off a photo: works on plain http too. */
import { make } from "/static/field/parts.js";

const LONGEST = [1600, 800, 2400];  // pixels

export async function codeOf(file) {
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) return null;
  if (!window.jsQR) await new Promise((done) => document.head.append(make("script", { src: "/static/vendor/jsqr.js", onload: done, onerror: done })));
  for (const longest of LONGEST) {
    const by = Math.min(1, longest / Math.max(picture.width, picture.height));
    const canvas = make("canvas", { width: Math.round(picture.width * by), height: Math.round(picture.height * by) });
    const pen = canvas.getContext("2d", { willReadFrequently: true });
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    const all = pen.getImageData(0, 0, canvas.width, canvas.height);
    const found = window.jsQR && window.jsQR(all.data, all.width, all.height);
    if (found) return found.data;
  }
  return null;
}
