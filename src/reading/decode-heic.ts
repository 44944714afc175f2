/** HEIC pictures into pixels, by libheif (compiled to WebAssembly). */
import { createRequire } from 'node:module'
import type { Pixels } from './decode-tiff.ts'

/** What is used of the library, which brings types for its inside alone. */
interface Library {
  HEAPU8: Uint8Array<ArrayBuffer>
  _heif_get_global_security_limits(): number
  HeifDecoder: new () => { decode(bytes: Uint8Array): HeicImage[] }
}

interface HeicImage {
  is_primary(): boolean
  get_width(): number
  get_height(): number
  display(target: { data: Uint8ClampedArray; width: number; height: number }, done: (shown: unknown) => void): void
  free(): void
}

let library: Library | undefined

/** The build that carries its own WebAssembly: the other looks for it in files or on a server. */
function open(mostPixels: number): Library {
  library ??= createRequire(import.meta.url)('libheif-js/wasm-bundle') as Library
  limit(library, mostPixels)
  return library
}

/** Its own limits come first, on tiles and coded pictures too: `heif_security_limits`, version byte, pixels at offset 8. */
function limit({ HEAPU8, _heif_get_global_security_limits: find }: Library, mostPixels: number): void {
  const view = new DataView(HEAPU8.buffer, find(), 24)
  if (view.getUint8(0) >= 1) view.setBigUint64(8, BigInt(mostPixels), true)
}

/** The picture that is meant, upright as the file says, or a fault in words. Rejects with what the decoder throws. */
export async function decodeHeic(bytes: Uint8Array, mostPixels: number): Promise<Pixels | { fault: string }> {
  const { HeifDecoder } = open(mostPixels)
  const images = new HeifDecoder().decode(Uint8Array.from(bytes))
  try {
    const image = images.find((one) => one.is_primary()) ?? images[0]
    if (image === undefined) return { fault: 'it is damaged' }
    const [width, height] = [image.get_width(), image.get_height()]
    if (!(width * height > 0) || width * height > mostPixels) return { fault: 'it is damaged or too large' }
    const target = { data: new Uint8ClampedArray(width * height * 4), width, height }
    const shown = await new Promise<unknown>((resolve) => image.display(target, resolve))
    if (!shown) return { fault: 'it is damaged' }
    return { rgba: new Uint8Array(target.data.buffer), width, height }
  } finally {
    for (const image of images) image.free()
  }
}
