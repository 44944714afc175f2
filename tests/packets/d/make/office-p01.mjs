// The office program of packet 1 (LibreOffice): labour and parts in sections, supplement with its own totals.
import { esc, money, officePdf } from './lib.mjs'

export function officePaper(path, d) {
  const head = (cells) => `<tr bgcolor="#e4e4e4">${cells.map(([t, w, a = 'left']) => `<td width="${w}" align="${a}"><font size="2"><b>${t}</b></font></td>`).join('')}</tr>`
  const row = (cells) => `<tr valign="top">${cells.map(([t, a = 'left']) => `<td align="${a}"><font size="2">${esc(t)}</font></td>`).join('')}</tr>`
  const labour = (rows) => `<table width="100%" border="1" cellpadding="2" cellspacing="0">${head([['Labor', '62%'], ['Hours', '12%', 'right'], ['Rate', '12%', 'right'], ['Amount', '14%', 'right']])}${rows.map((r) => row([[r.text], [r.hours?.toFixed(1) ?? '', 'right'], [r.hours ? money(r.rate) : '', 'right'], [money(r.amount), 'right']])).join('')}</table>`
  const parts = (rows) => `<table width="100%" border="1" cellpadding="2" cellspacing="0">${head([['Parts', '44%'], ['Part number', '18%'], ['Qty', '12%', 'right'], ['Each', '12%', 'right'], ['Amount', '14%', 'right']])}${rows.map((r) => row([[r.text], [r.number], [String(r.qty), 'right'], [money(r.amount / r.qty), 'right'], [money(r.amount), 'right']])).join('')}</table>`
  const totals = (rows) => `<table width="100%" border="0" cellpadding="1" cellspacing="0">${rows.map(([k, v, b]) => `<tr><td width="74%"></td><td width="12%"><font size="2">${b ? `<b>${k}</b>` : k}</font></td><td width="14%" align="right"><font size="2">${b ? `<b>${money(v)}</b>` : money(v)}</font></td></tr>`).join('')}</table>`
  officePdf(`<head><title>${d.title} ${d.number}</title><style>@page{size:8.5in 11in;margin:0.7in}p,td{font-family:"Liberation Sans";margin:0}</style></head><body>
<table width="100%" border="0" cellspacing="0"><tr valign="top"><td width="60%"><font size="5"><b>${d.shop[0]}</b></font><br>${d.shop.slice(1).map((l) => `<font size="2">${l}</font>`).join('<br>')}</td><td width="40%" align="right"><font size="5" color="#7a1f2b">${d.title}</font><br><font size="2">No. ${d.number}<br>Date: ${d.date}<br>RO: ${d.job}<br>${d.writer}</font></td></tr></table><br>
<table width="100%" border="1" cellpadding="3" cellspacing="0"><tr valign="top"><td width="50%"><font size="2"><b>Customer</b><br>${d.customer.join('<br>')}<br><b>Insurance:</b> ${d.insurer}<br><b>Claim #:</b> ${d.claim}</font></td><td width="50%"><font size="2"><b>Vehicle</b><br>${d.vehicle.year} ${d.vehicle.make} ${d.vehicle.model}, ${d.color}<br><b>VIN:</b> ${d.vehicle.vin}<br><b>Plate:</b> ${d.vehicle.plate}<br><b>Mileage in:</b> ${d.odo.toLocaleString('en-US')} mi</font></td></tr></table><br>
${d.sections.map((s) => `<p><font size="3"><b>${s.title}</b></font></p>${s.labour ? labour(s.labour) : ''}<br>${s.parts ? parts(s.parts) : ''}${totals(s.totals)}<br>`).join('')}
<p><font size="1" color="#555555">${d.foot}</font></p></body>`, path, d.local, d.offset)
}
