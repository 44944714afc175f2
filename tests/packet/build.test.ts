import { execFileSync } from 'node:child_process'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { file, packetOf } from './invented.ts'
import { documents, spellOut, vin } from './spell-out.ts'

describe('a packet', () => {
  it('is the same whatever the order of its documents', () => {
    const expected = spellOut(packetOf(documents))
    fc.assert(
      fc.property(fc.shuffledSubarray(documents, { minLength: documents.length }), (shuffled) => {
        expect(spellOut(packetOf(shuffled))).toBe(expected)
      }),
      { numRuns: 20, seed: 6 },
    )
  })

  it('is the same in a process of any zone', { timeout: 60_000 }, () => {
    const script = `
      import { spellOutExample } from ${JSON.stringify(new URL('./spell-out.ts', import.meta.url).href)}
      const said = ['UTC', 'America/New_York', 'Asia/Kolkata', 'Pacific/Apia'].map((zone) => {
        process.env.TZ = zone
        return [new Date(1779400000000).getHours(), spellOutExample()]
      })
      process.stdout.write(JSON.stringify(said))`
    const output = execFileSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8' })
    const said = JSON.parse(output) as [number, string][]
    expect(new Set(said.map(([hours]) => hours)).size).toBe(4)
    expect(new Set(said.map(([, text]) => text)).size).toBe(1)
    expect(said[0]?.[1]).toBe(spellOut(packetOf(documents)))
  })

  it('is sorted by path, with final kinds', () => {
    expect(packetOf(documents).documents.map(({ file: name, kind }) => [name, kind])).toEqual([
      ['1.pdf', 'pre-scan'],
      ['2.pdf', 'post-scan'],
      ['IMG.jpg', 'photo'],
      ['bill.pdf', 'invoice'],
      ['cal.pdf', 'calibration'],
    ])
  })

  it('does not change what it was given', () => {
    const before = JSON.stringify(documents)
    packetOf(documents.map((document) => Object.freeze(document)))
    expect(JSON.stringify(documents)).toBe(before)
  })
})

describe('the vehicle', () => {
  const named = (...vins: (string | undefined)[]) =>
    vins.map((each, index) => file(`${index}.pdf`, 'other', each === undefined ? {} : { vin: each }))

  it('is the one that most documents name', () => {
    expect(packetOf(named(vin, vin, '7XWBC2RT4NK000132', undefined)).vehicle).toEqual({ vin })
  })

  it('is nobody where it is a tie, and partial numbers have no vote', () => {
    expect(packetOf(named(vin, '7XWBC2RT4NK000132')).vehicle.vin).toBeNull()
    expect(packetOf(named('000132', '000132', vin)).vehicle.vin).toBe(vin)
    expect(packetOf([]).vehicle.vin).toBeNull()
  })

  it('is the declared one where no document names any', () => {
    const declaration = { vehicle: { vin: vin.toLowerCase(), plate: 'ABC 123', year: 2022 }, places: {} }
    expect(packetOf(named(undefined), { declaration }).vehicle).toEqual({ vin, plate: 'ABC 123', year: 2022 })
    expect(packetOf(named('7XWBC2RT4NK000132'), { declaration }).vehicle.vin).toBe('7XWBC2RT4NK000132')
  })
})
