import { describe, expect, it } from 'vitest'
import { findSupplierInvoices } from '../../../src/checks/billing/supplier-invoices.ts'
import { makePacket } from '../packet-builder.ts'
import { camera, makeBill, makeContent, radar, shopLines, supplierLines } from './bills.ts'

const suppliersOf = (files: Record<string, string[]>, shop?: string) =>
  findSupplierInvoices(
    makePacket(
      Object.keys(files).map((file) => makeBill(file, [radar, camera])),
      { content: makeContent(files), declaration: shop === undefined ? null : { shop: { name: shop } } },
    ),
  ).map(({ file }) => file)

describe('invoices of suppliers', () => {
  it('are those written to the firm at the top of another', () => {
    expect(suppliersOf({ 'a.pdf': shopLines, 'b.pdf': supplierLines })).toEqual(['b.pdf'])
    const labelled = [...supplierLines.slice(0, 3), 'CUSTOMER CLAIM', 'Amber Ridge Collision HM-26']
    expect(suppliersOf({ 'a.pdf': shopLines, 'b.pdf': labelled })).toEqual(['b.pdf'])
  })

  it('are told from the shop, which names the firm that did the work', () => {
    const shop = [...shopLines, 'Sublet: camera calibration (Pebble Lake Calibration)']
    expect(suppliersOf({ 'a.pdf': shop, 'b.pdf': supplierLines })).toEqual(['b.pdf'])
  })

  it('are those that name the declared shop beneath another letterhead', () => {
    expect(suppliersOf({ 'b.pdf': supplierLines }, 'Amber Ridge Collision')).toEqual(['b.pdf'])
    expect(suppliersOf({ 'a.pdf': [...shopLines, 'Amber Ridge Collision'] }, 'Amber Ridge Collision')).toEqual([])
  })

  it('are those that call themselves sublet', () => {
    expect(suppliersOf({ 'sublet 90.pdf': [] })).toEqual(['sublet 90.pdf'])
    expect(suppliersOf({ 'b.pdf': ['Sublet invoice'] })).toEqual(['b.pdf'])
  })

  it('are not two invoices of one firm, nor those of firms that do not name each other', () => {
    expect(suppliersOf({ 'a.pdf': shopLines, 'b.pdf': shopLines })).toEqual([])
    expect(suppliersOf({ 'a.pdf': shopLines, 'b.pdf': ['Cedar Bend Glass', 'Invoice', 'x', 'To: R. Doe'] })).toEqual([])
  })
})
