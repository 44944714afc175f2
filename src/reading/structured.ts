/** Reads JSON, YAML and XML: every value becomes located words, records become tables, drive logs a track. */
import type { Problem, Reading } from '../facts/reading.ts'
import { decodeText, wholeText } from './decode-text.ts'
import { readGpx } from './gpx.ts'
import { parseJson } from './json-text.ts'
import type { ReadingHint } from './read.ts'
import { layOutStructure } from './structured-layout.ts'
import type { StructuredNode } from './structured-node.ts'
import { parseXml, rootName } from './xml-text.ts'
import { parseYaml } from './yaml-text.ts'

type Parse = (text: string) => { root: StructuredNode | null; problems: Problem[] }

/** Reads JSON and JSON Lines. Never throws. Problems: those of `decodeText` and `parseJson`, and of a drive log. */
export function readJson(bytes: Uint8Array, hint: ReadingHint): Reading {
  return readStructured(bytes, hint, parseJson)
}

/** Reads YAML. Never throws. Problems: those of `decodeText` and `parseYaml`, and of a drive log. */
export function readYaml(bytes: Uint8Array, hint: ReadingHint): Reading {
  return readStructured(bytes, hint, parseYaml)
}

/** Reads XML; GPX under another name is read as GPX. Never throws. Problems: those of `decodeText` and `parseXml`. */
export function readXml(bytes: Uint8Array, hint: ReadingHint): Reading {
  const head = decodeText(bytes.subarray(0, 4096)).text
  return rootName(head) === 'gpx' ? readGpx(bytes, hint) : readStructured(bytes, hint, parseXml)
}

function readStructured(bytes: Uint8Array, hint: ReadingHint, parse: Parse): Reading {
  const decoded = decodeText(bytes, wholeText)
  if (decoded.text.trim() === '') {
    const problems =
      decoded.problems.length > 0 ? decoded.problems : [{ code: 'empty', message: 'The file holds no text.' }]
    return { media: hint.media, pages: [], problems }
  }
  const { root, problems } = parse(decoded.text)
  const all = [...decoded.problems, ...problems]
  const reading = root ? layOutStructure(root, hint, all) : { media: hint.media, pages: [], problems: all }
  if (all.length === 0 && !reading.track && reading.pages.every((page) => page.words.length === 0)) {
    all.push({ code: 'empty', message: 'The file holds no values.' })
  }
  return reading
}
