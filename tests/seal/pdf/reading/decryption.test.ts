/** Encrypted by qpdf, which the program knows nothing of: what is read is what was there before. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { listActive } from '../../../../src/seal/pdf/history/active.ts'
import { rc4 } from '../../../../src/seal/pdf/reading/decryption.ts'
import { catalogOf, dictionaryIn, openPdf, textOf } from '../../../../src/seal/pdf/reading/file.ts'
import { type Desk, openDesk } from '../../desk.ts'
import { makePaper } from './signed-pdf.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 })

let desk: Desk
let clear = () => {}
afterAll(() => clear())

beforeAll(async () => {
  desk = openDesk((dispose) => {
    clear = dispose
  })
  desk.put('open.pdf', await makePaper({ fields: { result: 'passed' } }))
  desk.put('notes.txt', 'a file within')
  desk.run('qpdf', 'open.pdf', '--add-attachment', 'notes.txt', '--description=what was seen', '--', 'attached.pdf')
})

const encrypt = (user: string, words: string): Uint8Array => {
  const options = words.split(' ')
  desk.run('qpdf', '--allow-weak-crypto', '--encrypt', user, 'owner', ...options, 'attached.pdf', 'closed.pdf')
  return new Uint8Array(desk.get('closed.pdf'))
}

const ways = [
  ['RC4 of 40 bits', '40 --'],
  ['RC4 of 128 bits', '128 --use-aes=n --'],
  ['AES of 128 bits', '128 --use-aes=y --'],
  ['AES of 128 bits, its metadata in the clear', '128 --use-aes=y --cleartext-metadata --'],
  ['AES of 256 bits, revision 5', '256 --force-R5 --'],
  ['AES of 256 bits', '256 --'],
  ['AES of 256 bits, in object streams', '256 -- --object-streams=generate'],
  ['AES of 128 bits, in object streams', '128 --use-aes=y -- --object-streams=generate'],
  ['RC4 of 128 bits, linearised', '128 --use-aes=n -- --linearize'],
] as const

describe('a file that opens without a password', () => {
  test.each(ways)('%s', (_, words) => {
    const file = openPdf(encrypt('', words))
    expect(file).toMatchObject({ damage: null, encrypted: true })
    expect(listActive(file)).toMatchObject([{ kind: 'file', text: 'notes.txt', where: 'attached to the file' }])
    const form = dictionaryIn(file, catalogOf(file) ?? fail(), 'AcroForm') ?? fail()
    const fields = file.resolve(form.entries.get('Fields'))
    const field = fields?.kind === 'array' ? file.resolve(fields.items[0]) : null
    expect(field?.kind === 'dictionary' && textOf(file.resolve(field.entries.get('V')))).toBe('passed')
  })

  test.each(ways)('%s, and a byte of what opens it is another', (_, words) => {
    const text = Buffer.from(encrypt('', words)).toString('latin1')
    const broken = text.replace(/\/U <(..)/, (_whole, first: string) => `/U <${first === '00' ? '01' : '00'}`)
    expect(broken).not.toBe(text)
    expect(isRead(Buffer.from(broken, 'latin1'))).toBe(false)
  })
})

test.each(ways)('a file that wants a password is not read: %s', (_, words) => {
  expect(isRead(encrypt('of the shop', words))).toBe(false)
})

/** Whether the name of the file within can be told. */
function isRead(pdf: Uint8Array): boolean {
  try {
    return listActive(openPdf(pdf)).some(({ text }) => text === 'notes.txt')
  } catch {
    return false
  }
}

function fail(): never {
  throw new Error('the file lacks what was put in')
}

test.each([
  // RFC 6229, section 2, at offset 0.
  ['0102030405', 'b2396305f03dc027ccc3524a0a1118a8'],
  ['0102030405060708090a0b0c0d0e0f10', '9ac7cc9a609d1ef7b2932899cde41b97'],
])('the key stream of %s', (key, stream) => {
  expect(Buffer.from(rc4(Buffer.from(key, 'hex'), new Uint8Array(16))).toString('hex')).toBe(stream)
})
