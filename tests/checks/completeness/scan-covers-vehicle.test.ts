import { expect, test } from 'vitest'
import { scanCoversVehicle as check } from '../../../src/checks/completeness/scan-covers-vehicle.ts'
import type { CodeReading, DocumentFacts, ModuleReading, VehicleSystem } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const general = generalParameters(check.id)
const module = (name: string, system: VehicleSystem = 'other'): ModuleReading => ({ name, state: 'no-fault', system })
const code = (text: string): CodeReading => ({ code: text, failureType: null, status: 'active' })
const engine = [module('Engine'), module('Transmission')]

const scan = (rest: Partial<DocumentFacts>, file = 'pre.pdf') => makeDocument('pre-scan', file, rest)
const packetOf = (documents: DocumentFacts[], ...lines: string[]) =>
  makePacket(documents, {
    content: Object.fromEntries(
      documents.map(({ file }) => [
        file,
        { lines: lines.map((text) => makePlace(text)), pageNumbers: [], track: null, information: null },
      ]),
    ),
  })
const messages = (document: Partial<DocumentFacts>, ...lines: string[]) =>
  messagesOf(check, packetOf([scan(document)], ...lines), general)

test('a scan of the vehicle: many modules, or a few that emissions have nothing to do with', () => {
  expect(messages({ modules: [...engine, module('Body'), module('Radio')] })).toEqual(['covers'])
  expect(messages({ modules: [...engine, module('Front radar', 'driver-assistance')] })).toEqual(['covers'])
  expect(messages({ modules: engine, statedModuleCount: 38 })).toEqual(['covers'])
})

test('a scan of emissions, held out as one of the vehicle', () => {
  const [outcome] = runCheck(
    check,
    packetOf([scan({ modules: engine, codes: [code('P0301')] })], 'OBD-II report', 'MIL status: off'),
    general,
  )
  expect(outcome).toMatchObject({
    state: 'unmet',
    message: 'emissions-only',
    data: { count: 2, words: 'OBD-II report' },
  })
  expect(messages({ modules: [], codes: [] }, 'Readiness: complete')).toEqual(['emissions-only'])
})

test('few modules without words that only such scans print, or with other codes, are worth a look', () => {
  expect(messages({ modules: engine, codes: [code('P0301')] }, 'Vehicle report')).toEqual(['few-modules'])
  expect(messages({ modules: engine, codes: [code('C0035')] }, 'MIL status: off')).toEqual(['few-modules'])
  expect(messages({ modules: engine })).toEqual(['few-modules'])
})

test('a vehicle scanned in parts', () => {
  const packet = packetOf(
    [scan({ modules: engine }, 'a.pdf'), scan({ modules: [module('Brakes', 'brake')] }, 'b.pdf')],
    'MIL status: off',
  )
  expect(messagesOf(check, packet, general)).toEqual(['covers'])
})

test('no modules, not read, no scan', () => {
  expect(messages({ codes: [] }, 'Vehicle report')).toEqual(['no-modules'])
  const problems = [{ code: 'page-unread', message: 'A page could not be read.' }]
  expect(messages({ modules: engine, problems }, 'MIL status: off')).toEqual(['unread'])
  expect(messagesOf(check, makePacket([]), general)).toEqual(['no-scan'])
})
