import { describe, expect, test } from 'vitest'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../../src/checks/procedures.ts'
import { general } from './general.ts'

const vehicle = { vin: null, year: 2023, make: 'Tessaly', model: 'Ondine' }
const job = { vehicle, declaration: null }
const entries: ProcedureEntry[] = [
  { basis: 'practice', values: { steadySeconds: 60, daylight: false } },
  { basis: 'radars', sensors: ['front-radar'], methods: ['dynamic'], values: { usualSeconds: [300, 900] } },
  { basis: 'maker', for: { make: 'tessaly', years: [2022, 2024] }, values: { steadySeconds: 120 } },
  { basis: 'shop', for: { shop: 'Mossgate Collision Center' }, values: { daylight: true } },
]

describe('findProcedure', () => {
  test('takes each value from the last entry that reaches the vehicle, with its source', () => {
    const procedure = findProcedure(entries, job, 'front-radar', 'dynamic')
    expect(procedure.values).toEqual({ steadySeconds: 120, daylight: false, usualSeconds: [300, 900] })
    expect(procedure.sources).toEqual({ steadySeconds: 'maker', daylight: 'practice', usualSeconds: 'radars' })
    expect(sourcesOf(procedure, 'steadySeconds', 'daylight', 'speedKmh')).toEqual(['maker', 'practice'])
  })

  test('leaves out what is for another sensor or method', () => {
    expect(findProcedure(entries, job, 'front-camera', 'dynamic').values.usualSeconds).toBeUndefined()
    expect(findProcedure(entries, job, 'front-radar', 'static').values.usualSeconds).toBeUndefined()
  })

  test.each([
    ['another make', { ...vehicle, make: 'Orvane' }],
    ['another year', { ...vehicle, year: 2025 }],
    ['an unknown year', { vin: null, make: 'Tessaly' }],
    ['an unknown make', { vin: null, year: 2023 }],
  ])('does not reach %s', (_, other) => {
    const { values } = findProcedure(entries, { vehicle: other, declaration: null }, 'front-radar', 'dynamic')
    expect(values.steadySeconds).toBe(60)
  })

  test('reaches a shop by the name that it declares', () => {
    const declared = { vehicle, declaration: { shop: { name: 'mossgate collision center' }, places: {} } }
    expect(findProcedure(entries, declared, 'lidar', 'static').values.daylight).toBe(true)
  })
})

// Common practice, no source: a steady 40 mph (64 km/h) for a front radar, 5 to 15 minutes.
test('the general rulebook knows the usual drive of a front radar', () => {
  const { values } = findProcedure(general.procedures, job, 'front-radar', 'dynamic')
  expect(values).toMatchObject({ usualSeconds: [300, 900], speedKmh: [64, 120], reportsProgress: true })
  expect(values.daylight).toBeUndefined()
  expect(findProcedure(general.procedures, job, 'front-camera', 'dynamic').values.daylight).toBe(true)
})
