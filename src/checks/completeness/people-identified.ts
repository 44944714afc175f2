import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'
import { mentions } from '../wording.ts'

export const peopleIdentified: Check = {
  id: 'people-identified',
  group: 'completeness',
  claim: 'The packet names who reviewed or released the vehicle.',
  messages: {
    named: { state: 'met', text: '{names} reviewed or released the vehicle, as {files} says.' },
    'none-named': { state: 'unmet', text: 'Nothing in the packet names who reviewed or released the vehicle.' },
    'maybe-unread': {
      state: 'undecided',
      text: 'Nothing that was read names who reviewed or released the vehicle; {files} could not be read in full.',
    },
    'no-files': { state: 'undecided', text: 'The packet holds no file that could name anyone.' },
  },
  parameters: {
    roles: 'Words of a role in packet.yaml by which its holder reviews or releases vehicles, in lower case.',
  },
  remedy: 'A release or quality sheet with a name, or the name and its role under "people" in packet.yaml.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'a release that nobody answers for',
  },
  collect: [{ step: 'release', per: 'job', text: 'The name of who reviewed the papers and released the vehicle' }],
  run(packet, parameters) {
    const found = [...declaredReviewers(packet, listParameter(parameters, 'roles')), ...printedReviewers(packet)]
    if (found.length > 0) {
      const names = [...new Set(found.map(({ name }) => name))]
      const files = [...new Set(found.flatMap(({ places }) => places.map(({ file }) => file)))]
      return [
        { state: 'met', message: 'named', data: { names, files }, evidence: found.flatMap(({ places }) => places) },
      ]
    }
    const papers = packet.documents.filter(({ kind }) => kind !== 'photo' && kind !== 'drive-log')
    if (papers.length === 0) return [{ state: 'undecided', message: 'no-files', data: {}, evidence: [] }]
    const unread = papers.filter((document) => !wasRead(document))
    if (unread.length === 0) return [{ state: 'unmet', message: 'none-named', data: {}, evidence: placeFiles(papers) }]
    const data = { files: listFiles(unread) }
    return [{ state: 'undecided', message: 'maybe-unread', data, evidence: placeFiles(unread) }]
  },
}

interface Reviewer {
  name: string
  places: FilePlace[]
}

function declaredReviewers(packet: Packet, roles: readonly string[]): Reviewer[] {
  return (packet.declaration?.people ?? []).flatMap(({ name, role }, index) =>
    mentions(role, roles) ? [{ name, places: findDeclaredPlaces(packet, `people.${index}`, name) }] : [],
  )
}

function printedReviewers(packet: Packet): Reviewer[] {
  return packet.documents.flatMap((document) =>
    (document.people ?? []).flatMap(({ name, role }, index) =>
      role === 'reviewer' ? [{ name, places: findPlaces(document, `people.${index}`, name) }] : [],
    ),
  )
}
