/** Lines and points of GeoJSON (RFC 7946) as a table of samples: longitude before latitude, WGS84 degrees, metres. */
import { type RecordTable, recordTable, type StructuredNode, scalarText } from './structured-node.ts'

const geometryKeys = new Set(['geometry', 'coordinates', 'coordTimes', 'times', 'coordinateProperties', 'bbox'])

type MapNode = Extract<StructuredNode, { kind: 'map' }>

/**
 * The samples of a Feature or FeatureCollection of one LineString, MultiLineString or of Points. Times of a line stand in
 * the property `coordTimes` or `times`, as converters from GPX write them (common practice, no standard). Null for
 * anything else.
 */
export function lineStringTable(root: StructuredNode): RecordTable | null {
  const features = featuresOf(root)
  if (!features) return null
  const lines = features.flatMap((feature) => lineOf(feature) ?? [])
  if (lines.length > 0) return { heads: ['time', 'longitude', 'latitude', 'elevation (m)'], rows: lines }
  const records: StructuredNode[] = features.flatMap((feature) => pointRecord(feature) ?? [])
  return records.length >= 2 ? recordTable('', { kind: 'list', items: records }) : null
}

/** The same document without the coordinates and times that the track holds: what a reader has to see on the page. */
export function withoutGeometry(node: StructuredNode): StructuredNode {
  if (node.kind === 'scalar') return node
  if (node.kind === 'list') return { kind: 'list', items: node.items.map(withoutGeometry) }
  const kept = node.entries.filter(([key]) => !geometryKeys.has(key))
  return { kind: 'map', entries: kept.map(([key, value]) => [key, withoutGeometry(value)]) }
}

function featuresOf(root: StructuredNode): MapNode[] | null {
  const type = text(root, 'type')
  if (root.kind !== 'map' || type === null) return null
  if (type === 'Feature') return [root]
  if (type === 'LineString') return [{ kind: 'map', entries: [['geometry', root]] }]
  const features = type === 'FeatureCollection' ? get(root, 'features') : null
  return features?.kind === 'list' ? features.items.filter((item) => item.kind === 'map') : null
}

function lineOf(feature: MapNode): string[][] | null {
  const geometry = get(feature, 'geometry')
  const type = geometry && text(geometry, 'type')
  const coordinates = geometry && get(geometry, 'coordinates')
  if (coordinates?.kind !== 'list' || (type !== 'LineString' && type !== 'MultiLineString')) return null
  const nested =
    type === 'MultiLineString'
      ? coordinates.items.flatMap((line) => (line.kind === 'list' ? line.items : []))
      : coordinates.items
  const times = timesOf(get(feature, 'properties'))
  return nested.map((position, index) => {
    const [longitude = '', latitude = '', height = ''] =
      position.kind === 'list' ? position.items.map((item) => (item.kind === 'scalar' ? item.text : '')) : []
    return [times?.[index] ?? '', longitude, latitude, height]
  })
}

function timesOf(properties: StructuredNode | null): string[] | null {
  if (!properties) return null
  const stated =
    get(properties, 'coordTimes') ?? get(properties, 'times') ?? timesNode(get(properties, 'coordinateProperties'))
  if (stated?.kind !== 'list') return null
  return stated.items.flatMap((item) =>
    item.kind === 'list' ? item.items.map((inner) => scalarText(inner) ?? '') : [scalarText(item) ?? ''],
  )
}

function timesNode(node: StructuredNode | null): StructuredNode | null {
  return node && get(node, 'times')
}

function pointRecord(feature: MapNode): StructuredNode | null {
  const geometry = get(feature, 'geometry')
  const coordinates = geometry && text(geometry, 'type') === 'Point' ? get(geometry, 'coordinates') : null
  const properties = get(feature, 'properties')
  if (coordinates?.kind !== 'list' || properties?.kind !== 'map') return null
  const [longitude, latitude] = coordinates.items
  if (!longitude || !latitude) return null
  const simple = properties.entries.filter(([, node]) => node.kind === 'scalar')
  return { kind: 'map', entries: [...simple, ['longitude', longitude], ['latitude', latitude]] }
}

function get(node: StructuredNode, key: string): StructuredNode | null {
  return node.kind === 'map' ? (node.entries.find(([name]) => name === key)?.[1] ?? null) : null
}

function text(node: StructuredNode, key: string): string | null {
  const value = get(node, key)
  return value?.kind === 'scalar' ? value.text : null
}
