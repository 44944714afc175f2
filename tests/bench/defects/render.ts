/** Turns a draft into files: every paper in its layout and format, packet.yaml, and damage done to finished files. */
import { stringify } from 'yaml'
import { faceOf, isoFace } from './clocks.ts'
import { damageBytes, revisePdf } from './damage.ts'
import type { AnyPaper, Damage, Declared, Draft } from './draft.ts'
import { calibrationSheet } from './layouts-calibration.ts'
import { alignmentSheet, billSheet, noteSheet } from './layouts-office.ts'
import { scanSheet } from './layouts-scan.ts'
import { writeCsv, writeGpx, writeNmea } from './logs.ts'
import { takePhoto } from './photos.ts'
import type { Sheet } from './sheet.ts'
import { alterSigned, noteOver, signFile } from './sign.ts'
import { isQuirk, setPdf, setPicture } from './skins-pdf.ts'
import { setCsv, setJson, setText, setXml } from './skins-text.ts'

export type Files = Map<string, Uint8Array>

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)

async function setSheet(sheet: Sheet, format: AnyPaper['format'], layout: number): Promise<Uint8Array> {
  switch (format) {
    case 'pdf':
      return setPdf(sheet, layout)
    case 'txt':
      return encode(setText(sheet, layout))
    case 'csv':
      return encode(setCsv(sheet))
    case 'json':
      return encode(setJson(sheet))
    case 'xml':
      return encode(setXml(sheet))
  }
}

/** The sheet that a paper is set as; null for logs and pictures. */
export function sheetOf(paper: AnyPaper, draft: Draft): Sheet | null {
  const { shop, profile } = draft
  const complete = profile === 'complete'
  switch (paper.kind) {
    case 'scan':
      return scanSheet(paper, shop.name, shop.distance, complete)
    case 'calibration':
      return calibrationSheet(paper, shop.name, shop.distance, complete)
    case 'alignment':
      return alignmentSheet(paper, shop.name, shop.distance, complete)
    case 'bill':
      return billSheet(paper, shop.distance, shop.currency)
    case 'note':
      return noteSheet(paper, shop.name)
    case 'drive':
    case 'photo':
      return null
  }
}

async function writePaper(paper: AnyPaper, draft: Draft): Promise<Uint8Array> {
  if (paper.kind === 'photo') return takePhoto(paper)
  if (paper.kind === 'drive') {
    const text = { gpx: writeGpx, nmea: writeNmea, csv: (log: typeof paper) => writeCsv(log, draft.shop.distance) }[
      paper.log
    ](paper)
    return encode(text)
  }
  const sheet = sheetOf(paper, draft)
  if (!sheet) throw new Error(`${paper.file} has no sheet`)
  const quirk = draft.damage.find(({ file }) => file === paper.file)?.how
  if (quirk === 'picture') return setPicture(sheet)
  if (paper.format === 'pdf' && isQuirk(quirk)) return setPdf(sheet, paper.layout, quirk)
  return setSheet(sheet, paper.format, paper.layout)
}

function writeDeclaration(declared: Declared, { shop }: Draft): string {
  const minute = (time: number) => isoFace(faceOf(time, shop.zone)).slice(0, 16)
  const { zone, job, claim, vin, plate, loss, intake, release, repairs, calibrations, notNeeded, people } = declared
  return stringify({
    packet: 1,
    ...(zone === null ? {} : { zone }),
    job,
    claim,
    vehicle: { vin, plate },
    loss: minute(loss).slice(0, 10),
    intake: minute(intake),
    release: minute(release),
    repairs: repairs.map(({ what, started, ended }) => ({ what, started: minute(started), ended: minute(ended) })),
    calibrations: calibrations.map(({ sensor, method, position }) => ({
      sensor,
      method,
      ...(position === null ? {} : { position }),
    })),
    ...(notNeeded.length === 0 ? {} : { notNeeded }),
    people,
    shop: { name: shop.name, location: [shop.latitude, shop.longitude] },
  })
}

async function signAndChange(bytes: Uint8Array, { file, how, instead }: Damage, draft: Draft): Promise<Uint8Array> {
  const signed = await signFile(bytes, draft.papers.find((paper) => paper.file === file)?.made ?? 0)
  if (how === 'sign-revise' && instead) return revisePdf(signed, await writePaper(instead, draft))
  if (how === 'sign-note') return noteOver(signed)
  return alterSigned(signed)
}

async function damage(files: Files, one: Damage, draft: Draft): Promise<void> {
  const bytes = files.get(one.file)
  if (!bytes) return
  if (one.how === 'copy') files.set(one.as ?? `copy of ${one.file}`, bytes)
  else if (one.how === 'revise' && one.instead)
    files.set(one.file, revisePdf(bytes, await writePaper(one.instead, draft)))
  else if (one.how.startsWith('sign')) files.set(one.file, await signAndChange(bytes, one, draft))
  else if (!isQuirk(one.how) && one.how !== 'picture') {
    const made = draft.papers.find(({ file }) => file === one.file)?.made ?? 0
    files.set(one.file, damageBytes(bytes, one.how, made))
  }
}

export async function renderDraft(draft: Draft): Promise<Files> {
  const files: Files = new Map()
  for (const paper of draft.papers) files.set(paper.file, await writePaper(paper, draft))
  for (const { file, text } of draft.extra) files.set(file, encode(text))
  if (draft.declared) files.set('packet.yaml', encode(writeDeclaration(draft.declared, draft)))
  for (const one of draft.damage) await damage(files, one, draft)
  return files
}
