/** The page that reports and comparisons are written on: one HTML file that needs nothing else, without script. */
import { style } from './html-style.ts'
import { type Content, html, type Markup, raw, writeMarkup } from './markup.ts'
import type { FieldView } from './view.ts'

const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"

/** A section of the page: where it stands in the list of sections, and what is in it. */
export interface Section {
  id: string
  heading: string
  content: Content
}

export interface PageParts {
  title: string
  head: Markup
  /** In the order of the page, at least one. */
  sections: readonly Section[]
  footer: string
}

/** The whole page as text; well-formed as XML too. */
export function writePage({ title, head, sections, footer }: PageParts): string {
  const page = html`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta http-equiv="Content-Security-Policy" content="${policy}"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="generator" content="witnessmark"/>
<title>${title}</title>
<style>${raw(style)}</style>
</head>
<body>
<a class="skip" href="#${sections[0]?.id ?? 'cautions'}">Skip to the first section</a>
<div class="page">
${head}
<div class="frame">
<nav aria-label="Sections"><ol>${sections.map(({ id, heading }) => html`<li><a href="#${id}">${heading}</a></li>`)}</ol></nav>
<main>
${sections.map(writeSection)}
</main>
</div>
<footer>${footer}</footer>
</div>
</body>
</html>
`
  return writeMarkup(page)
}

const writeSection = ({ id, heading, content }: Section): Markup =>
  html`<section id="${id}" aria-labelledby="${id}-h"><h2 id="${id}-h">${heading}</h2>${content}</section>\n`

/** Labels, each with its lines beside it. */
export function writeFields(fields: readonly FieldView[]): Markup {
  return html`<dl class="facts">${fields.map(
    ({ label, lines }) => html`<dt>${label}</dt><dd>${lines.map((line) => html`<p>${line}</p>`)}</dd>`,
  )}</dl>`
}
