// Photographs: scaled down here in the page, so that a year of them fits beside the log.
// Takes a picture file; gives a data address of a small JPEG, or says why not.

import type { Photo } from "../../core/types.ts";

/** Longer side of a kept photograph, px. */
const LONGER_PX = 960;
const QUALITY = 0.72;
/** Most that all photographs of a studio may take, bytes; base64 takes a third more. */
export const PHOTOS_LIMIT_BYTES = 30_000_000;

/** What photographs take now, bytes. */
export const photoBytes = (photos: readonly Photo[]): number => photos.reduce((sum, one) => sum + one.data_base64.length, 0);

export async function shrink(file: File, photos: readonly Photo[]): Promise<string> {
  const image = await createImageBitmap(file).catch(() => {
    throw new Error(`${file.name} is not a picture that this browser can read. Choose a JPEG, PNG or WebP.`);
  });
  const scale = Math.min(1, LONGER_PX / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * scale));
  canvas.height = Math.max(1, Math.round(image.height * scale));
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const made = canvas.toDataURL("image/jpeg", QUALITY);
  if (photoBytes(photos) + made.length > PHOTOS_LIMIT_BYTES) throw new Error("All photographs together may take 30 MB, and this one would be over it. Remove some older ones in Studio.");
  return made;
}
