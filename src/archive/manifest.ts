/**
 * What a packet consisted of when it was received: an object of the archive, in canonical JSON (RFC 8785). Entries of the
 * log name it by its digest, so the list can be as long as it must.
 */
import canonicalize from 'canonicalize'

export interface ManifestFile {
  /** As in the packet; in a bag, from the bag's root. */
  path: string
  bytes: number
  sha256: string
}

export interface Manifest {
  manifest: 1
  name: string
  /** `sha256:…` of the packet: see `digestPacket`. */
  digest: string
  /** Sorted by path in code units. */
  files: readonly ManifestFile[]
  /** What stood in the packet and was not kept: what a system leaves behind, and what could not be taken. */
  left: readonly { path: string; reason: string }[]
}

export const formatManifest = (manifest: Manifest): Uint8Array =>
  new Uint8Array(Buffer.from(canonicalize(manifest) ?? '', 'utf8'))

/** Null for bytes that are no manifest. */
export function parseManifest(bytes: Uint8Array): Manifest | null {
  try {
    const value: unknown = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
    return isManifest(value) ? value : null
  } catch {
    return null
  }
}

function isManifest(value: unknown): value is Manifest {
  if (typeof value !== 'object' || value === null) return false
  const { manifest, name, digest, files, left } = value as Record<string, unknown>
  return (
    manifest === 1 &&
    typeof name === 'string' &&
    typeof digest === 'string' &&
    Array.isArray(files) &&
    files.every(isFile) &&
    Array.isArray(left)
  )
}

function isFile(value: unknown): value is ManifestFile {
  if (typeof value !== 'object' || value === null) return false
  const { path, bytes, sha256 } = value as Record<string, unknown>
  return typeof path === 'string' && Number.isSafeInteger(bytes) && typeof sha256 === 'string' && isDigest.test(sha256)
}

const isDigest = /^[0-9a-f]{64}$/
