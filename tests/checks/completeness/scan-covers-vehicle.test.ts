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

test('the powertrain alone: by the own count of the scan, or by a module without a code where nothing names others', () => {
  const faulty: ModuleReading[] = [{ name: 'Engine', state: 'fault', system: 'other' }]
  expect(messages({ modules: engine, codes: [code('P0301')] }, 'Vehicle report')).toEqual(['powertrain-alone'])
  expect(messages({ modules: engine })).toEqual(['powertrain-alone'])
  expect(messages({ modules: faulty, statedModuleCount: 1, codes: [code('P0420')] }, 'Airbag')).toEqual([
    'powertrain-alone',
  ])
})

test('few modules are worth a look where the scan may be a list of faults, names other parts, or has other codes', () => {
  const faulty: ModuleReading[] = [{ name: 'Engine', state: 'fault', system: 'other' }]
  expect(messages({ modules: faulty, codes: [code('P0420')] })).toEqual(['few-modules'])
  expect(messages({ modules: faulty, statedModuleCount: 2, codes: [code('P0420')] })).toEqual(['few-modules'])
  expect(messages({ modules: engine }, 'Brakes and airbag without fault')).toEqual(['few-modules'])
  expect(messages({ modules: engine, codes: [code('C0035')] }, 'MIL status: off')).toEqual(['few-modules'])
  expect(messages({ modules: engine, unreadCodes: [{ text: '01435', fault: 'own-number' }] })).toEqual(['few-modules'])
  const other = makeDocument('scan', 'other.pdf', { modules: [module('Brakes', 'brake')] })
  expect(messagesOf(check, packetOf([scan({ modules: engine }), other]), general)).toEqual(['few-modules', 'covers'])
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
