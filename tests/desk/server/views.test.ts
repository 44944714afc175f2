/** Every look at a packet is logged, under the name of whoever looked, also where many look at once. */
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { everyRole } from '../../../src/desk/index.ts'
import { openViews } from '../../../src/desk/server/work.ts'
import { archives } from '../../../src/index.ts'
import { type DeskPlace, openDeskPlace } from './desk-place.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

let place: DeskPlace
beforeAll(async () => {
  place = await openDeskPlace()
})
afterAll(() => place?.close())

const personOf = (name: string) => ({ name, roles: everyRole, shop: null })

async function readLooks(): Promise<archives.LoggedEntry[]> {
  const looks: archives.LoggedEntry[] = []
  for await (const logged of archives.history(place.desk.archive)) if (logged.entry.act === 'viewed') looks.push(logged)
  return looks
}

test('twenty who look at once stand in the log, each once and by name, and are found there in any order', async () => {
  const note = openViews(place.desk)
  const names = Array.from({ length: 20 }, (_, at) => `Reader ${at}`)
  await Promise.all([...names, ...names].map((name) => note(personOf(name), '2026-0001')))
  const looks = await readLooks()
  expect(looks.map(({ entry }) => entry.by.name).sort()).toEqual([...names].sort())
  const backwards = [...looks].reverse()
  const indexes = backwards.map(({ index }) => index)
  expect(await archives.findEntries(place.desk.archive, indexes)).toEqual(backwards)
})

test('a look that could not be logged is not taken for one that was', async () => {
  const { storage } = place.desk.archive.outside
  const note = openViews(place.desk)
  const before = (await readLooks()).length
  const write = vi.spyOn(storage.log, 'write').mockRejectedValue(new Error('The disk is gone'))
  await expect(note(personOf('Late Reader'), '2026-0001')).rejects.toThrow('The disk is gone')
  write.mockRestore()
  await note(personOf('Late Reader'), '2026-0001')
  expect((await readLooks()).length).toBe(before + 1)
})
