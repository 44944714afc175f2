import { expect, test } from 'vitest'
import { documentKinds, sensors } from '../../src/facts/document.ts'
import { makeDocument } from '../checks/packet-builder.ts'
import { fullDocument } from './full-document.ts'
import { documentSchema, listErrors, validateDocument } from './schemas.ts'

test('a document that speaks of everything, and one that speaks of next to nothing', () => {
  expect(listErrors(validateDocument, fullDocument)).toEqual([])
  expect(listErrors(validateDocument, makeDocument('other', 'a.bin', { vin: undefined }))).toEqual([])
})

test('the schema knows no key that the type does not have', () => {
  const { properties, $defs } = documentSchema
  const [calibration] = fullDocument.calibrations
  const pairs: [schema: { properties: object }, sample: object | undefined][] = [
    [{ properties }, fullDocument],
    [$defs.calibration, calibration],
    [$defs.measuredValue, calibration?.values?.[0]],
    [$defs.date, fullDocument.date],
    [$defs.drive, fullDocument.drive],
    [properties.instrument, fullDocument.instrument],
    [$defs.person, fullDocument.people[0]],
    [$defs.module, fullDocument.modules[0]],
    [$defs.code, fullDocument.codes[0]],
    [$defs.condition, fullDocument.conditions[0]],
    [$defs.operation, fullDocument.operations[0]],
    [$defs.problem, fullDocument.problems[0]],
  ]
  for (const [schema, sample] of pairs) {
    expect(Object.keys(schema.properties).sort()).toEqual(Object.keys(sample ?? {}).sort())
  }
  expect(properties.kind.enum).toEqual([...documentKinds])
  expect($defs.sensor.enum).toEqual([...sensors])
})

test.each<[what: string, change: object, error: string]>([
  ['an unknown key', { colour: 'red' }, ' must NOT have additional properties'],
  ['an unknown kind', { kind: 'receipt' }, '/kind must be equal to one of the allowed values'],
  [
    'a code that is none',
    { codes: [{ code: 'X1234', failureType: null, status: 'active' }] },
    '/codes/0/code must match pattern',
  ],
  ['a hash that is none', { sha256: 'abc' }, '/sha256 must match pattern'],
  [
    'progress beyond 100',
    { calibrations: [{ ...fullDocument.calibrations[0], progressPercent: 101 }] },
    '/calibrations/0/progressPercent must be <= 100',
  ],
])('refuses %s', (_, change, error) => {
  expect(listErrors(validateDocument, { ...fullDocument, ...change }).join('\n')).toContain(error)
})
