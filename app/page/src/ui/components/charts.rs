//! The charts as SVG, each with its table behind it.

use document::results::chart::{Axis, Bars, Curves, Table};
use yew::prelude::*;

#[derive(Properties, PartialEq)]
pub struct TableViewProps {
    /// Caption, headings and rows.
    pub table: Table,
}

/// A table of figures.
#[component]
pub fn TableView(props: &TableViewProps) -> Html {
    let table = &props.table;
    html! {
        <div class="table-window" tabindex="0" role="region" aria-label={table.caption.clone()}>
            <table class="figures">
                <caption>{ &table.caption }</caption>
                <thead><tr>{ for table.headings.iter().map(|h| html! { <th scope="col">{ h }</th> }) }</tr></thead>
                <tbody>{ for table.rows.iter().map(|row| html! {
                    <tr>{ for row.iter().enumerate().map(|(i, cell)| if i == 0 { html! { <th scope="row">{ cell }</th> } } else { html! { <td>{ cell }</td> } }) }</tr>
                }) }</tbody>
            </table>
        </div>
    }
}

/// The table, folded away under its chart.
fn behind(table: &Table) -> Html {
    html! { <details class="behind"><summary>{ "The same as a table" }</summary><TableView table={table.clone()} /></details> }
}

fn ink(trial: usize) -> &'static str {
    super::ink_of(trial)
}

fn x_axis(axis: &Axis, top: f64) -> Html {
    html! {
        <g class="axis">
            <path d={format!("M{} {top}H{}", axis.from_px, axis.to_px)} />
            { for axis.ticks.iter().map(|t| html! {
                <>
                    <path class="grid" d={format!("M{} 0V{top}", t.at_px)} />
                    <text x={t.at_px.to_string()} y={(top + 16.0).to_string()} text-anchor="middle">{ &t.label }</text>
                </>
            }) }
            <text class="axis-title" x={axis.to_px.to_string()} y={(top + 34.0).to_string()} text-anchor="end">{ &axis.title }</text>
        </g>
    }
}

#[derive(Properties, PartialEq)]
pub struct BarsViewProps {
    /// Where everything is.
    pub bars: Bars,
    /// Width of the drawing in its own pixels.
    pub width_px: f64,
}

/// Energy by limb as lying bars with their 95 % intervals.
#[component]
pub fn BarsView(props: &BarsViewProps) -> Html {
    let bars = &props.bars;
    html! {
        <figure class="chart">
            <svg viewBox={format!("0 0 {} {}", props.width_px, bars.height_px + 40.0)} role="img" aria-label={bars.table.caption.clone()}>
                { x_axis(&bars.axis, bars.height_px) }
                { for bars.groups.iter().map(|group| html! {
                    <g>
                        <text class="limb-name" x={(bars.axis.from_px - 10.0).to_string()} y={(group.label_y_px + 5.0).to_string()} text-anchor="end">{ &group.label }</text>
                        { for group.bars.iter().map(|bar| html! {
                            <g class={classes!("bar", ink(bar.trial))}>
                                <rect x={bar.x_px.to_string()} y={bar.y_px.to_string()} width={bar.width_px.max(0.0).to_string()} height={bar.height_px.to_string()} />
                                { for bar.interval_px.iter().map(|(low, high)| whisker(*low, *high, bar.y_px + bar.height_px / 2.0)) }
                            </g>
                        }) }
                    </g>
                }) }
            </svg>
            { behind(&bars.table) }
        </figure>
    }
}

fn whisker(low: f64, high: f64, y: f64) -> Html {
    html! { <path class="whisker" d={format!("M{low} {}V{}M{low} {y}H{high}M{high} {}V{}", y - 4.0, y + 4.0, y - 4.0, y + 4.0)} /> }
}

#[derive(Properties, PartialEq)]
pub struct CurvesViewProps {
    /// Where everything is.
    pub curves: Curves,
    /// Size of the drawing area in its own pixels.
    pub size_px: (f64, f64),
    /// The phase looked at, 0 to 1.
    #[prop_or_default]
    pub phase: Option<f64>,
}

/// Curves over a stride with a band of one SD.
#[component]
pub fn CurvesView(props: &CurvesViewProps) -> Html {
    let curves = &props.curves;
    let (width, height) = props.size_px;
    let (left, right) = (curves.x_axis.from_px, curves.x_axis.to_px);
    let floor = curves.y_axis.from_px.max(curves.y_axis.to_px);
    let now = props.phase.map(|p| left + p * (right - left));
    html! {
        <figure class="chart">
            <figcaption>{ &curves.title }</figcaption>
            <svg viewBox={format!("-46 -8 {} {}", width + 66.0, height + 52.0)} role="img" aria-label={curves.title.clone()}>
                { x_axis(&curves.x_axis, floor) }
                { for curves.y_axis.ticks.iter().map(|t| html! {
                    <g class="axis"><path class="grid" d={format!("M{left} {}H{right}", t.at_px)} />
                    <text x={(left - 8.0).to_string()} y={(t.at_px + 4.0).to_string()} text-anchor="end">{ &t.label }</text></g>
                }) }
                { for curves.lines.iter().map(|l| html! {
                    <g class={classes!("curve", ink(l.trial))}><path class="band" d={l.band.clone()} /><path class="line" d={l.line.clone()} /></g>
                }) }
                { for curves.toe_offs.iter().map(|m| html! { <path class={classes!("toe-off", ink(m.trial))} d={format!("M{} {}V{floor}", m.x_px, floor - 14.0)} /> }) }
                { for now.iter().map(|x| html! { <path class="here" d={format!("M{x} 0V{floor}")} /> }) }
            </svg>
            { behind(&curves.table) }
        </figure>
    }
}
