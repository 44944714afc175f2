/** Pictures of the places that a finding rests on, with the words marked. */
import type { Drawing } from '../facts/drawing.ts'
import { isDrawing, type Picture, type Pictures } from '../findings/pictures.ts'
import { type Content, html, type Markup } from './markup.ts'
import { describePicture, namePlace } from './picture-words.ts'
import type { FindingView } from './view.ts'

/** Those of one finding. A picture that an earlier finding shows already is pointed at. */
export function writeFigures({ number }: FindingView, { pictures }: Pictures): Content {
  const own = pictures.filter(({ findings }) => findings.includes(number - 1))
  const pairs = Map.groupBy(own, ({ beside }) => beside?.pair ?? null)
  return [...pairs].map(([pair, side]) => {
    const figures = side.map((picture) => writeFigure(picture, number))
    return pair === null ? figures : html`<div class="sides">${figures}</div>`
  })
}

function writeFigure(picture: Picture, number: number): Markup {
  const { drawn, findings } = picture
  const place = namePlace(picture)
  if (!isDrawing(drawn)) return html`<p class="quiet">${place} cannot be shown: ${drawn.fault}.</p>`
  const first = Math.min(...findings) + 1
  if (first !== number)
    return html`<p class="quiet">${place} is shown with <a href="#finding-${first}">finding no. ${first}</a>.</p>`
  return html`<figure${picture.isPhoto ? html` class="photo"` : null}><figcaption>${place}</figcaption>${writePicture(picture, drawn)}</figure>`
}

function writePicture(picture: Picture, { jpeg, widthPixels, heightPixels, region }: Drawing): Markup {
  const [x0, y0, x1, y1] = region
  const marks = picture.marks.map(
    ([left, top, right, bottom]) =>
      html`<rect x="${round(left - x0 - 2)}" y="${round(top - y0 - 2)}" width="${round(right - left + 4)}" height="${round(bottom - top + 4)}"/>`,
  )
  const source = `data:image/jpeg;base64,${toBase64(jpeg)}`
  return html`<div class="scroll" tabindex="0" role="group" aria-label="Picture of ${namePlace(picture)}"><div class="picture"><img src="${source}" width="${widthPixels}" height="${heightPixels}" alt="${describePicture(picture)}"/><svg viewBox="0 0 ${round(x1 - x0)} ${round(y1 - y0)}" preserveAspectRatio="none" aria-hidden="true" focusable="false">${marks}</svg></div></div>`
}

const round = (value: number): number => Math.round(value * 10) / 10

/** RFC 4648, section 4. */
function toBase64(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192))
  return btoa(text)
}
