/** The archive as it is asked about a packet that is being reviewed. */
import type { ArchiveAnswer, Packet } from '../../packet/packet.ts'
import { type Archive, guard, readObject } from '../archive.ts'
import { lookUp } from './look-up.ts'

/** See `Outside.archive`. */
export interface AskedArchive {
  lookUp(packet: Packet): Promise<ArchiveAnswer>
}

/**
 * The open archive as `Outside.archive`. `except`: the number of the packet itself, where one that is kept is checked again;
 * it is found by its digest where it is left out.
 * Asking is logged nowhere and writes nothing.
 */
export function askArchive(archive: Archive, except?: string): AskedArchive {
  const read = (sha256: string) => readObject(archive.outside.storage, sha256)
  const options = { archive: archive.key.name, ...(except === undefined ? {} : { except }) }
  return { lookUp: (packet) => guard(archive, () => lookUp(archive.db, read, packet, options)) }
}
