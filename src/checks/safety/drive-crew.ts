/** Who was in the vehicle on the drive of a dynamic calibration, as its record, other papers or packet.yaml tell. */
import type { DocumentFacts } from '../../facts/document.ts'
import { comparePersons } from '../../facts/person-name.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'
import { mentions } from '../wording.ts'

export interface CrewMember {
  name: string
  places: FilePlace[]
}

/** What one source says of a drive. */
export interface DriveCrew {
  drivers: CrewMember[]
  observers: CrewMember[]
  /** Named as having done the work, without a role on the drive. */
  technicians: CrewMember[]
  /** Sentences that say that a second person watched. */
  said: FilePlace[]
}

/** What a file says. */
export function crewOf(document: DocumentFacts): DriveCrew {
  const inRole = (wanted: string): CrewMember[] =>
    (document.people ?? []).flatMap(({ name, role }, index) =>
      role === wanted ? [{ name, places: findPlaces(document, `people.${index}`, name) }] : [],
    )
  const { technician } = document
  return {
    drivers: inRole('driver'),
    observers: inRole('observer'),
    technicians:
      technician === undefined ? [] : [{ name: technician, places: findPlaces(document, 'technician', technician) }],
    said: (document.statements ?? []).flatMap(({ about, text }, index) =>
      about === 'watched' ? findPlaces(document, `statements.${index}`, text) : [],
    ),
  }
}

/** What packet.yaml declares. */
export function declaredCrew(packet: Packet): DriveCrew {
  const inRole = (words: readonly string[]): CrewMember[] =>
    (packet.declaration?.people ?? []).flatMap(({ name, role }, index) =>
      mentions(role, words) ? [{ name, places: findDeclaredPlaces(packet, `people.${index}`, name) }] : [],
    )
  return {
    drivers: inRole(['driver']),
    observers: inRole(['observer', 'second person', 'second technician', 'passenger']),
    technicians: inRole(['technician']),
    said: [],
  }
}

export type CrewAnswer =
  | { message: 'two-named'; driver: CrewMember; observer: CrewMember }
  | { message: 'observer-beside-technician'; technician: CrewMember; observer: CrewMember }
  | { message: 'said'; places: FilePlace[] }
  | { message: 'one-person' | 'names-unclear'; driver: CrewMember; observer: CrewMember }
  | { message: 'one-named'; members: CrewMember[] }
  | null

/** What a source shows: two people, one in both roles, or too little. Null where it speaks of nobody on the drive. */
export function judgeCrew({ drivers, observers, technicians, said }: DriveCrew): CrewAnswer {
  const pairs = drivers.flatMap((driver) =>
    observers.map((observer) => ({ driver, observer, answer: comparePersons(driver.name, observer.name) })),
  )
  const two = pairs.find(({ answer }) => answer === 'different')
  if (two) return { message: 'two-named', driver: two.driver, observer: two.observer }
  const one = pairs.find(({ answer }) => answer === 'same')
  if (one) return { message: 'one-person', driver: one.driver, observer: one.observer }
  if (said.length > 0) return { message: 'said', places: said }
  const [unclear] = pairs
  if (unclear) return { message: 'names-unclear', driver: unclear.driver, observer: unclear.observer }
  if (drivers.length === 0) {
    for (const observer of observers) {
      const technician = technicians.find(({ name }) => comparePersons(name, observer.name) === 'different')
      if (technician) return { message: 'observer-beside-technician', technician, observer }
    }
  }
  const members = [...drivers, ...observers]
  return members.length > 0 ? { message: 'one-named', members } : null
}
