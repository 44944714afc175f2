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
  /** A part was removed or replaced that carries the sensor or that it looks through. */
  atSensor: boolean
  places: FilePlace[]
}

interface SingleCall {
  sensor: Sensor
  text: string
  atSensor: boolean
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
        atSensor: own.some((call) => call.atSensor),
        places: own.flatMap(({ places }) => places),
      },
    ]
  })
}

/** Sensors at which the words say that a part was replaced or removed. */
function sensorsAtPart(text: string, parameters: Parameters): string[] {
  const parts = listsParameter(parameters, 'parts')
  if (!mentions(text, listParameter(parameters, 'replacing')) || mentions(text, listParameter(parameters, 'slight')))
    return []
  return findPhrases(text, Object.keys(parts)).flatMap((part) => parts[part] ?? [])
}

function listedCalls(packet: Packet, parameters: Parameters): SingleCall[] {
  const isWork = ({ kind }: OperationReading) => kind === 'repair' || kind === 'alignment'
  return packet.documents.flatMap((document) => {
    if (document.kind !== 'estimate' && document.kind !== 'invoice') return []
    return (document.operations ?? []).flatMap((operation, index): SingleCall[] => {
      if (!isWork(operation)) return []
      const { text, calls } = operation
      const places = findPlaces(document, `operations.${index}`, text)
      const near = sensorsAtPart(text, parameters)
      return calls.map((sensor) => ({ sensor, text, atSensor: near.includes(sensor), places }))
    })
  })
}

/** A declared repair is told by its parts alone. */
function declaredCalls(packet: Packet, parameters: Parameters): SingleCall[] {
  return (packet.declaration?.repairs ?? []).flatMap(({ what }, index) => {
    const near = sensorsAtPart(what, parameters)
    const places = findDeclaredPlaces(packet, `repairs.${index}`, what)
    return sensors
      .filter((sensor) => near.includes(sensor))
      .map((sensor): SingleCall => ({ sensor, text: what, atSensor: true, places }))
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
