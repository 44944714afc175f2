/** Words kept for the next time, and what is not believed of them. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { PageWords } from '../../src/facts/look.ts'
import { cacheFolder, openWordsCache } from '../../src/io/words-cache.ts'

let folder: string
beforeEach(() => {
  folder = join(mkdtempSync(join(tmpdir(), 'words-')), 'deep', 'down')
})
afterEach(() => rmSync(join(folder, '..', '..'), { recursive: true, force: true }))

const bytes = (text: string) => new TextEncoder().encode(text)
const words = (text: string): PageWords => ({
  words: [{ text, box: [1, 2, 3, 4], shown: [1, 2, 3, 5], size: 9.5, confidence: 88 }],
  confidence: 88,
})

test('what was kept comes back, for these bytes and this page alone', async () => {
  const cache = openWordsCache(folder)
  expect(await cache.get(bytes('a'), 1)).toBeNull()
  await cache.put(bytes('a'), 1, words('Odometer'))
  expect(await openWordsCache(folder).get(bytes('a'), 1)).toEqual(words('Odometer'))
  expect(await cache.get(bytes('a'), 2)).toBeNull()
  expect(await cache.get(bytes('b'), 1)).toBeNull()
})

test('only its owner may look into the folder', async () => {
  await openWordsCache(folder).put(bytes('a'), 1, words('Odometer'))
  if (process.platform !== 'win32') expect(statSync(folder).mode & 0o077).toBe(0)
})

const good = JSON.stringify(words('Odometer'))
test.each([
  ['cut short', good.slice(0, -9)],
  ['empty', ''],
  ['of another kind', '[]'],
  ['with a word of two words', good.replace('Odometer', 'Odo meter')],
  ['with a box that is none', good.replace('[1,2,3,4]', '[1,2,3]')],
  ['with a number that is none', good.replace('9.5', '"9.5"')],
  ['surer than sure', good.replaceAll('88', '101')],
  ['with more than is asked for', good.replace('"size"', '"bold":true,"size"')],
])('an entry %s is as if it were not there', async (_, text) => {
  const cache = openWordsCache(folder)
  await cache.put(bytes('a'), 1, words('Odometer'))
  const [name = ''] = readdirSync(folder)
  writeFileSync(join(folder, name), text)
  expect(await cache.get(bytes('a'), 1)).toBeNull()
  await cache.put(bytes('a'), 1, words('Odometer'))
  expect(readFileSync(join(folder, name), 'utf8')).toBe(good)
})

test('the least lately used goes first, and files of others stay', async () => {
  const roomy = openWordsCache(folder)
  for (const text of ['a', 'b', 'c']) await roomy.put(bytes(text), 1, words(text.repeat(100)))
  writeFileSync(join(folder, 'notes.txt'), 'mine'.repeat(500))
  const old = new Date('2020-01-01')
  for (const name of readdirSync(folder)) utimesSync(join(folder, name), old, old)
  expect(await roomy.get(bytes('b'), 1)).not.toBeNull()
  await openWordsCache(folder, 450).put(bytes('d'), 1, words('d'.repeat(100)))
  const left = await Promise.all(['a', 'b', 'c', 'd'].map(async (text) => (await roomy.get(bytes(text), 1)) !== null))
  expect(left).toEqual([false, true, false, true])
  expect(readdirSync(folder)).toContain('notes.txt')
})

test('a folder that cannot be made keeps nothing, and harms nobody', async () => {
  const file = join(folder, '..', '..', 'file')
  writeFileSync(file, '')
  const cache = openWordsCache(join(file, 'beneath'))
  await cache.put(bytes('a'), 1, words('a'))
  expect(await cache.get(bytes('a'), 1)).toBeNull()
})

test.each([
  ['linux', { XDG_CACHE_HOME: '/var/c' }, '/var/c/witnessmark/words'],
  // XDG Base Directory Specification 0.8: "All paths … must be absolute"; a relative one is to be ignored.
  ['linux', { XDG_CACHE_HOME: 'c' }, join(homedir(), '.cache/witnessmark/words')],
  ['linux', {}, join(homedir(), '.cache/witnessmark/words')],
  ['darwin', {}, join(homedir(), 'Library/Caches/witnessmark/words')],
  ['win32', { LOCALAPPDATA: '/l' }, '/l/witnessmark/words'],
])('on %s with %j it is %s', (platform, environment, path) => {
  expect(cacheFolder(environment, platform)).toBe(path)
})
