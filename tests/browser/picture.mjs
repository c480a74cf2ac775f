// A page's picture as the README shows it: WebP, small enough to come with the project.
// Takes a page, a name and what of the page is wanted; writes fixtures/readme/<name>.webp.

import { mkdir, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL("../../fixtures/readme/", import.meta.url));

/** Most that a picture may take, bytes. */
export const LIMIT_BYTES = 60_000;

export async function forReadme(page, name, part = page) {
  const shot = await part.screenshot();
  // The browser itself turns it into WebP, in a page without the studio's policy.
  const plain = await page.context().newPage();
  const data = await plain.evaluate(async ([png, limit]) => {
    const image = new Image();
    image.src = `data:image/png;base64,${png}`;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = image.width;
    canvas.height = image.height;
    canvas.getContext("2d").drawImage(image, 0, 0);
    for (let quality = 0.9; quality > 0.3; quality -= 0.05) {
      const made = canvas.toDataURL("image/webp", quality);
      if (0.75 * made.length < limit) return made;
    }
    return canvas.toDataURL("image/webp", 0.3);
  }, [shot.toString("base64"), LIMIT_BYTES]);
  await plain.close();
  const bytes = Buffer.from(data.split(",")[1], "base64");
  await mkdir(folder, { recursive: true });
  await writeFile(`${folder}${name}.webp`, bytes);
  return bytes.length;
}
