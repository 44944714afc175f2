import { distanceMetres, type Position } from '../../facts/geodesic.ts'
import { isPlaced, positionOf } from '../../facts/motion.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { findDeclaredPlaces } from '../places.ts'
import { judgeLogs, placesOfLog, type TrackedLog } from './logs.ts'

export const driveStartsAtShop: Check = {
  id: 'drive-starts-at-shop',
  group: 'drive',
  claim: 'The drive starts or ends at the shop.',
  messages: {
    'at-shop': {
      state: 'met',
      text: 'The drive of {file} starts {startKilometres} km and ends {endKilometres} km from the shop.',
    },
    elsewhere: {
      state: 'unmet',
      text: 'The drive of {file} starts {startKilometres} km and ends {endKilometres} km from the shop; neither is within {nearKilometres} km.',
    },
    'no-location': { state: 'undecided', text: 'packet.yaml does not state where the shop is.' },
    'no-position': { state: 'undecided', text: 'The points of {file} carry no positions.' },
    'no-log': { state: 'undecided', text: 'The packet holds no drive log with points.' },
  },
  parameters: { nearKilometres: 'How far from the shop a drive may start and end, in kilometres.' },
  remedy: 'A word on where the drive began and why, or the right location of the shop in packet.yaml.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a log that may be of another drive',
    insurer: 'paying for a drive that this log may not show',
  },
  collect: [],
  run(packet, parameters) {
    const shop = packet.declaration?.shop?.location
    return judgeLogs(packet, (log) => judge(packet, log, shop, parameters))
  },
}

function judge(packet: Packet, log: TrackedLog, shop: Position | undefined, parameters: Parameters): Outcome {
  const { file } = log.document
  const evidence = placesOfLog(log)
  if (shop === undefined) return { state: 'undecided', message: 'no-location', data: { file }, evidence }
  const placed = log.track.points.filter(isPlaced)
  const [first, last] = [placed[0], placed.at(-1)]
  if (!first || !last) return { state: 'undecided', message: 'no-position', data: { file }, evidence }
  const [start, end] = [first, last].map((point) => distanceMetres(shop, positionOf(point)) / 1000)
  if (start === undefined || end === undefined || !Number.isFinite(start + end))
    return { state: 'undecided', message: 'no-position', data: { file }, evidence }
  const near = numberParameter(parameters, 'nearKilometres')
  const data = { file, startKilometres: start, endKilometres: end, nearKilometres: near }
  const working = [
    {
      text: 'Geodesics from the shop at {shop}: to the first point at {from} {startKilometres} km, to the last at {to} {endKilometres} km.',
      data: {
        ...data,
        shop: showPosition(shop),
        from: showPosition(positionOf(first)),
        to: showPosition(positionOf(last)),
      },
    },
  ]
  const places = [...evidence, ...findDeclaredPlaces(packet, 'shop.location')]
  return Math.min(start, end) <= near
    ? { state: 'met', message: 'at-shop', data, evidence: places, working }
    : { state: 'unmet', message: 'elsewhere', data, evidence: places, working }
}

const showPosition = (position: Position): string => position.map((degrees) => degrees.toFixed(5)).join(', ')
