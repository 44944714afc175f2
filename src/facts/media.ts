/**
 * The media types that intake tells apart by content. Registered names where there is one (IANA media types; YAML:
 * RFC 9512); GPX, NMEA 0183 sentences and the empty file have none and carry the usual unregistered ones.
 */
export const mediaTypes = [
  'application/pdf',
  'image/jpeg',
  'image/png',
  'image/webp',
  'image/tiff',
  'image/heic',
  'image/gif',
  'application/zip',
  'application/gzip',
  'application/gpx+xml',
  'application/xml',
  'application/json',
  'application/yaml',
  'text/html',
  'text/csv',
  'text/tab-separated-values',
  'text/x-nmea',
  'text/plain',
  'application/x-empty',
  'application/octet-stream',
] as const
export type Media = (typeof mediaTypes)[number]
