//! Charts as SVG, each with its numbers in a table below.

use super::ink::ink_class;
use super::table::TableView;
use document::results::TextTable;
use document::results::chart::{Axis, Bars, Curves};
use document::results::scene::Area;
use yew::prelude::*;

/// The numbers of a chart, folded away below it.
fn chart_table(table: &TextTable) -> Html {
    html! { <details class="chart-table"><summary>{ "The same as a table" }</summary><TableView table={table.clone()} /></details> }
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
    /// The chart, laid out.
    pub bars: Bars,
    /// Width of the drawing, in its own pixels.
    pub width_px: f64,
}

/// Energy by limb as horizontal bars with their 95 % intervals.
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
                            <g class={classes!("bar", ink_class(bar.trial))}>
                                <rect x={bar.x_px.to_string()} y={bar.y_px.to_string()} width={bar.width_px.max(0.0).to_string()} height={bar.height_px.to_string()} />
                                { for bar.interval.iter().map(|i| whisker(i.from_px, i.to_px, bar.y_px + bar.height_px / 2.0)) }
                            </g>
                        }) }
                    </g>
                }) }
            </svg>
            { chart_table(&bars.table) }
        </figure>
    }
}

fn whisker(low: f64, high: f64, y: f64) -> Html {
    html! { <path class="whisker" d={format!("M{low} {}V{}M{low} {y}H{high}M{high} {}V{}", y - 4.0, y + 4.0, y - 4.0, y + 4.0)} /> }
}

#[derive(Properties, PartialEq)]
pub struct CurvesViewProps {
    /// The chart, laid out.
    pub curves: Curves,
    /// Size of the drawing area, in its own pixels.
    pub area: Area,
    /// The phase to mark, 0 to 1.
    #[prop_or_default]
    pub phase: Option<f64>,
}

/// Curves over a stride with a band of one standard deviation.
#[component]
pub fn CurvesView(props: &CurvesViewProps) -> Html {
    let curves = &props.curves;
    let Area { width_px, height_px } = props.area;
    let (left, right) = (curves.x_axis.from_px, curves.x_axis.to_px);
    let floor = curves.y_axis.from_px.max(curves.y_axis.to_px);
    let marked = props.phase.map(|p| left + p * (right - left));
    html! {
        <figure class="chart">
            <figcaption>{ &curves.title }</figcaption>
            <svg viewBox={format!("-46 -8 {} {}", width_px + 66.0, height_px + 52.0)} role="img" aria-label={curves.title.clone()}>
                { x_axis(&curves.x_axis, floor) }
                { for curves.y_axis.ticks.iter().map(|t| html! {
                    <g class="axis"><path class="grid" d={format!("M{left} {}H{right}", t.at_px)} />
                    <text x={(left - 8.0).to_string()} y={(t.at_px + 4.0).to_string()} text-anchor="end">{ &t.label }</text></g>
                }) }
                { for curves.lines.iter().map(|l| html! {
                    <g class={classes!("curve", ink_class(l.trial))}><path class="band" d={l.band.clone()} /><path class="line" d={l.line.clone()} /></g>
                }) }
                { for curves.toe_offs.iter().map(|m| html! { <path class={classes!("toe-off", ink_class(m.trial))} d={format!("M{} {}V{floor}", m.x_px, floor - 14.0)} /> }) }
                { for marked.iter().map(|x| html! { <path class="cursor-line" d={format!("M{x} 0V{floor}")} /> }) }
            </svg>
            { chart_table(&curves.table) }
        </figure>
    }
}
