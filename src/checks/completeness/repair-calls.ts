/** Calibrations that the repairs of a packet usually call for, sensor by sensor, and what is known of the sensor. */
import type { OperationReading, Sensor } from '../../facts/document.ts'
import { sensors } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { listParameter, listsParameter, type Parameters } from '../parameters.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'
import { findPhrases, mentions } from '../wording.ts'

export interface RepairCall {
  sensor: Sensor
  /** The repairs that call for it, as written. */
  repairs: string[]
  reach: RepairReach
  places: FilePlace[]
}

/**
 * How near the work came to the sensor. `sensor`: a part was replaced or removed that carries it or that it looks through;
 * `near`: the part is one whose repair calls for it; `surface`: that part was painted, or something small on it was changed.
 */
export type RepairReach = (typeof reaches)[number]
const reaches = ['sensor', 'near', 'surface'] as const

interface SingleCall {
  sensor: Sensor
  text: string
  reach: RepairReach
  places: FilePlace[]
}

/** One entry a sensor, in the order of `sensors`; those that the rulebook leaves out are not among them. */
export function collectRepairCalls(packet: Packet, parameters: Parameters): RepairCall[] {
  const wanted = listParameter(parameters, 'sensors')
  const calls = [...listedCalls(packet, parameters), ...declaredCalls(packet, parameters)]
  return sensors.flatMap((sensor): RepairCall[] => {
    const own = calls.filter((call) => call.sensor === sensor)
    if (own.length === 0 || !wanted.includes(sensor)) return []
    return [
      {
        sensor,
        repairs: [...new Set(own.map(({ text }) => text))],
        reach: reaches.find((reach) => own.some((call) => call.reach === reach)) ?? 'surface',
        places: own.flatMap(({ places }) => places),
      },
    ]
  })
}

/** How near a repair of these words comes to each sensor; `near` where its words do not tell. */
function measureReach(text: string, parameters: Parameters): (sensor: Sensor) => RepairReach {
  const replaced = mentions(text, listParameter(parameters, 'replacing'))
  if (mentions(text, listParameter(parameters, 'slight'))) return () => 'surface'
  if (!replaced) return () => (mentions(text, listParameter(parameters, 'finishing')) ? 'surface' : 'near')
  const parts = listsParameter(parameters, 'parts')
  const at = findPhrases(text, Object.keys(parts)).flatMap((part) => parts[part] ?? [])
  return (sensor) => (at.includes(sensor) ? 'sensor' : 'near')
}

function listedCalls(packet: Packet, parameters: Parameters): SingleCall[] {
  const isWork = ({ kind }: OperationReading) => kind === 'repair' || kind === 'alignment'
  return packet.documents.flatMap((document) => {
    if (document.kind !== 'estimate' && document.kind !== 'invoice') return []
    return (document.operations ?? []).flatMap((operation, index): SingleCall[] => {
      if (!isWork(operation)) return []
      const { text, calls } = operation
      const places = findPlaces(document, `operations.${index}`, text)
      const reachOf = measureReach(text, parameters)
      return calls.map((sensor) => ({ sensor, text, reach: reachOf(sensor), places }))
    })
  })
}

/** A declared repair is told by its parts alone. */
function declaredCalls(packet: Packet, parameters: Parameters): SingleCall[] {
  return (packet.declaration?.repairs ?? []).flatMap(({ what }, index) => {
    const reachOf = measureReach(what, parameters)
    const places = findDeclaredPlaces(packet, `repairs.${index}`, what)
    return sensors.flatMap((sensor): SingleCall[] =>
      reachOf(sensor) === 'sensor' ? [{ sensor, text: what, reach: 'sensor', places }] : [],
    )
  })
}

/** The modules of this sensor that a scan lists as fitted. */
export function findFitted(packet: Packet, sensor: Sensor): { name: string; file: string; places: FilePlace[] }[] {
  return packet.documents.flatMap((document) =>
    (document.modules ?? []).flatMap((module, index) =>
      module.sensor === sensor && module.state !== 'not-fitted' && module.state !== 'unknown'
        ? [{ name: module.name, file: document.file, places: findPlaces(document, `modules.${index}`, module.name) }]
        : [],
    ),
  )
}
