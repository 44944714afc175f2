import { expect, test } from 'vitest'
import { isSameModule, simplifyModuleName } from '../../../src/checks/completeness/module-names.ts'
import { modulesCovered } from '../../../src/checks/completeness/modules-covered.ts'
import type { DocumentFacts, ModuleReading } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'
import { makeRecord, makeUnread } from './documents.ts'

const parameters = generalParameters('modules-covered')

type Module = string | Partial<ModuleReading>

function scan(kind: 'pre-scan' | 'post-scan', modules: Module[], rest: Partial<DocumentFacts> = {}) {
  const readings = modules.map((module): ModuleReading => {
    return { name: '?', state: 'no-fault', ...(typeof module === 'string' ? { name: module } : module) }
  })
  return makeDocument(kind, `${kind}.pdf`, { modules: readings, ...rest })
}
const judge = (...documents: DocumentFacts[]) => runCheck(modulesCovered, makePacket(documents), parameters)
const messages = (...documents: DocumentFacts[]) => judge(...documents).map((outcome) => outcome.message)

test('every module again, spelt another way', () => {
  const pre = scan('pre-scan', ['ABS', 'Front Radar Control Module', 'Power-steering'])
  const post = scan('post-scan', ['power steering', 'Anti-lock brakes (ABS)', 'FRONT RADAR', 'Lighting'])
  expect(judge(pre, post)).toMatchObject([{ state: 'met', message: 'covered', data: { count: 3 } }])
})

test('a module that the pre-scan read is missing', () => {
  expect(judge(scan('pre-scan', ['Brakes', 'Airbags']), scan('post-scan', ['Brakes']))).toMatchObject([
    { state: 'unmet', message: 'omitted', data: { modules: ['Airbags'] } },
  ])
})

test('one that is listed as fitted but was not read only warns', () => {
  const pre = scan('pre-scan', [
    'Brakes',
    { name: 'Airbags', state: 'no-response' },
    { name: 'Roof', state: 'unknown' },
  ])
  expect(judge(pre, scan('post-scan', ['Brakes']))).toMatchObject([
    { message: 'fitted-omitted', data: { modules: ['Airbags', 'Roof'] } },
  ])
})

test('what is not fitted is not missing; what was read before and is called not fitted now is', () => {
  const notFitted = { name: 'Towbar', state: 'not-fitted' } as const
  expect(messages(scan('pre-scan', ['Brakes', notFitted]), scan('post-scan', ['Brakes']))).toEqual(['covered'])
  expect(messages(scan('pre-scan', ['Brakes', 'Towbar']), scan('post-scan', ['Brakes', notFitted]))).toEqual([
    'omitted',
  ])
})

test('one that no longer answers is covered: modules-respond answers for it', () => {
  const post = scan('post-scan', ['Brakes', { name: 'Airbags', state: 'no-response' }])
  expect(messages(scan('pre-scan', ['Brakes', 'Airbags']), post)).toEqual(['covered'])
})

test('another instrument may name modules differently', () => {
  const pre = scan('pre-scan', ['Brakes', 'Airbags'], { instrument: { name: 'Ombrel 7' } })
  const other = scan('post-scan', ['Brakes', 'SRS'], { instrument: { name: 'Dacet 640' } })
  expect(judge(pre, other)).toMatchObject([{ state: 'undecided', message: 'names-differ' }])
  const same = scan('post-scan', ['Brakes', 'SRS'], { instrument: { name: 'ombrel 7' } })
  expect(messages(pre, same)).toEqual(['omitted'])
})

test('a post-scan read in part omits nothing for certain', () => {
  const post = makeUnread('post-scan', 'post-scan.pdf', 'page-without-text', {
    modules: [{ name: 'Brakes', state: 'no-fault' }],
  })
  expect(messages(scan('pre-scan', ['Brakes', 'Airbags']), post)).toEqual(['post-scan-unread'])
})

test('the module of a calibrated sensor', () => {
  const radar = makeRecord('cal.pdf')
  const pre = scan('pre-scan', ['Brakes'])
  expect(messages(pre, scan('post-scan', ['Brakes']), radar)).toEqual(['sensor-module-omitted'])
  expect(messages(pre, scan('post-scan', ['Brakes', { name: 'Distance', sensor: 'front-radar' }]), radar)).toEqual([
    'covered',
  ])
  const unclear = { name: 'Assistance', system: 'driver-assistance' } as const
  expect(messages(pre, scan('post-scan', ['Brakes', unclear]), radar)).toEqual(['sensor-module-unclear'])
  expect(messages(pre, scan('post-scan', ['Brakes']), makeRecord('cal.pdf', { sensor: 'steering-angle' }))).toEqual([
    'covered',
  ])
})

test('left and right are two modules', () => {
  const module = (name: string, position: string) => ({ name, sensor: 'corner-radar', position }) as const
  const pre = scan('pre-scan', [module('Side left', 'left'), module('Side right', 'right')])
  expect(judge(pre, scan('post-scan', [module('Blind spot L', 'left')]))).toMatchObject([
    { message: 'omitted', data: { modules: ['Side right'] } },
  ])
})

test('with a scan missing or without modules it stays open', () => {
  expect(messages(scan('pre-scan', ['Brakes']))).toEqual(['no-post-scan'])
  expect(messages(scan('post-scan', ['Brakes']))).toEqual(['no-pre-scan'])
  expect(messages(scan('pre-scan', ['Brakes']), scan('post-scan', []))).toEqual(['no-modules'])
  expect(messages(scan('pre-scan', []), scan('post-scan', ['Brakes']))).toEqual(['no-modules'])
})

test('names', () => {
  expect(simplifyModuleName('ECU: Brake-Control Module')).toBe('brake')
  expect(simplifyModuleName('Control Unit')).toBe('control unit')
  const same = (a: string, b: string) => isSameModule({ name: a, state: 'unknown' }, { name: b, state: 'unknown' })
  expect(same('ABS - Anti-lock brakes', 'ABS')).toBe(true)
  expect(same('Front camera', 'Rear camera')).toBe(false)
  expect(same('Door left', 'Door right')).toBe(false)
})

test('a list shorter than the scan itself counts, or than a third of the one before, was misread', () => {
  const pre = scan('pre-scan', ['Brakes', 'Airbags', 'Front Radar', 'Body', 'Gateway', 'Climate', 'Steering'])
  expect(messages(pre, scan('post-scan', ['Brakes', 'Airbags', 'Body'], { statedModuleCount: 7 }))).toEqual([
    'post-scan-unread',
  ])
  expect(messages(pre, scan('post-scan', ['Brakes', 'Airbags']))).toEqual(['post-scan-unread'])
  expect(messages(pre, scan('post-scan', ['Brakes', 'Airbags', 'Body'], { statedModuleCount: 3 }))).toEqual(['omitted'])
})
