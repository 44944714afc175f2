import { describe, expect, it } from 'vitest'
import { mediaTypes } from '../../src/facts/media.ts'
import { readFile } from '../../src/reading/read.ts'

// Sent to the wrong reader on purpose: the start of each format, text, a short ramp of all byte values.
const inputs: [name: string, bytes: Uint8Array][] = [
  ['nothing', new Uint8Array(0)],
  ['every byte value', Uint8Array.from({ length: 256 }, (_, index) => index)],
  ['text', Buffer.from('All modules answered.\n')],
  ['open brackets', Buffer.from('[{"a":['.repeat(2000))],
  ['open elements', Buffer.from('<a><b>'.repeat(2000))],
  ['signatures', Buffer.from('%PDF-1.7\n\xff\xd8\xff\x89PNG\r\n\x1a\nII*\0GIF89a', 'latin1')],
]

describe('the dispatch by media type', () => {
  it.each(mediaTypes)('%s: no input is too odd for its reader', async (media) => {
    for (const [name, bytes] of inputs) {
      const reading = await readFile(Uint8Array.from(bytes), { path: 'odd.bin', media })
      expect(reading.pages, name).toBeInstanceOf(Array)
      expect(
        reading.problems.map(({ code }) => code),
        name,
      ).not.toContain('reader-failed')
    }
  })

  it.each([
    ['application/x-empty', 'empty-file'],
    ['application/zip', 'nested-archive'],
    ['application/gzip', 'nested-archive'],
    ['application/octet-stream', 'unknown-format'],
    ['text/html', 'unknown-format'],
    ['no/such-type', 'unknown-format'],
  ])('%s has no reader: %s', async (media, code) => {
    expect(await readFile(new Uint8Array(1), { path: 'a.b', media })).toEqual({
      media,
      pages: [],
      problems: [{ code, message: expect.stringMatching(/^a\.b .*: /) }],
    })
  })
})
