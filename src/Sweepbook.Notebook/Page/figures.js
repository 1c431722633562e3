// SPDX-License-Identifier: MIT
// Draws the figures of a page: their size from the width at hand, their colours from the page, their legend as buttons.
(function () {
  if (window.sweepbookDraw) return;
  var right = 26, top = 10, bottom = 52, printWidth = 680, printHeight = 0.8, widest = 1000, digit = 7.8, letter = 6.8, wideLetter = 8.4, gap = 8;
  var drawn = [], printing = false;

  function width(figure) { return Math.min(widest, figure.clientWidth || 860); }

  function size(figure, total) {
    var data = figure.dataset, left = Number(data.left);
    var plot = total - left - right, height = Number(data.height) * (printing ? printHeight : 1);
    if (data.decades) {
      var decade = plot / Number(data.decades);                                    // pixels
      height = decade * Number(data.spanDb) / Number(data.decadeDb) + top + bottom;  // a decade is as long as so many decibels
    }
    return { width: total, height: Math.round(height) };
  }

  function inks() {
    if (printing) return { ink: "#20262c", grid: "#cdcac2", faint: "#ebe8e1", paper: "#ffffff" };   // paper is white, whatever the screen
    var style = getComputedStyle(document.documentElement);
    function of(name, otherwise) { return style.getPropertyValue(name).trim() || otherwise; }
    return { ink: of("--sweepbook-ink", "#767676"), grid: of("--sweepbook-grid", "rgba(128,128,128,.35)"), faint: of("--sweepbook-grid-faint", "rgba(128,128,128,.16)"),
      paper: of("--sweepbook-paper", "#ffffff") };
  }

  function ticks(figure, axis, total) {   // the 1s of the decades first, then the 2s, then the 5s, as far as the labels stay apart
    if (!axis.tickvals || axis.type !== "log") return null;
    var decade = (total - Number(figure.dataset.left) - right) / (axis.range[1] - axis.range[0]), placed = [];
    function half(value) { return (String(value).length * digit + gap) / 2; }
    ["1", "2", "5"].forEach(function (first) {
      axis.tickvals.forEach(function (value) {
        if (String(value).replace(/[0.]/g, "")[0] !== first) return;
        var free = placed.every(function (other) { return Math.abs(Math.log10(value / other)) * decade >= half(value) + half(other); });
        if (free) placed.push(value);
      });
    });
    return axis.tickvals.map(function (value) { return placed.indexOf(value) >= 0 ? String(value) : ""; });
  }

  function bands(figure, axis, total) {   // bands stand at whole numbers: every label, or every so many, always with that of 1 kHz, which is number 0
    if (!axis.labels) return null;
    var band = (total - Number(figure.dataset.left) - right) / (axis.range[1] - axis.range[0]), values = axis.tickvals, labels = axis.labels;
    function kept(every) { return values.map(function (value, k) { return value % every === 0 ? k : -1; }).filter(function (k) { return k >= 0; }); }
    var every = axis.strides.filter(function (stride) {
      var shown = kept(stride);
      return shown.every(function (k, n) { return n === 0 || (values[k] - values[shown[n - 1]]) * band >= (labels[k].length + labels[shown[n - 1]].length) / 2 * digit + gap; });
    })[0] || axis.strides[axis.strides.length - 1], shown = kept(every);
    return labels.map(function (label, k) { return shown.indexOf(k) >= 0 ? label : ""; });
  }

  function title(figure, axis, height) {   // what does not fit along the axis keeps its quantity and its unit
    if (!axis.title || !axis.title.text) return;
    var whole = figure.dataset.title || (figure.dataset.title = axis.title.text);
    axis.title.text = whole.length * letter > height - top - bottom / 2 ? whole.replace(/,[^()]*\)$/, ")") : whole;
    if (axis.title.text.length * wideLetter > height - bottom + top) axis.title.text = axis.title.text.replace(/^Level \((dB re .*)\)$/, "$1");
  }

  function look(figure, layout, total) {
    var ink = inks(), measures = size(figure, total);
    layout.width = measures.width; layout.height = measures.height;
    layout.margin = { l: Number(figure.dataset.left), r: right, t: top, b: bottom, pad: 0, autoexpand: false };
    layout.font = { family: "system-ui, 'Segoe UI', 'Helvetica Neue', Arial, sans-serif", size: 12.5, color: ink.ink };
    layout.hoverlabel = { align: "left", bgcolor: ink.paper, bordercolor: ink.grid, font: { color: ink.ink, size: 12.5 } };
    if (layout.yaxis) title(figure, layout.yaxis, measures.height);
    ["xaxis", "yaxis"].forEach(function (name) {
      var axis = layout[name];
      if (!axis) return;
      axis.gridcolor = ink.grid; axis.linecolor = ink.grid; axis.tickcolor = ink.grid; axis.zerolinecolor = ink.grid;
      if (axis.minor) axis.minor.gridcolor = ink.faint;
      var labels = ticks(figure, axis, total) || bands(figure, axis, total);
      if (labels) axis.ticktext = labels;
    });
    return layout;
  }

  function words(figure, data, layout, total) {   // at the ends of a bar: inside it, else together beside it, else on hover only
    var range = layout.xaxis.range, decade = (total - Number(figure.dataset.left) - right) / (range[1] - range[0]);
    data.forEach(function (trace) {
      var place = trace.meta;
      if (!place || !place.words) return;
      var fits = Math.log10(place.to / place.from) * decade > place.inside;
      var beside = place.right ? range[1] - Math.log10(place.to) : Math.log10(place.from) - range[0];
      trace.visible = place.words === "pair" ? fits : !fits && beside * decade > place.inside;
    });
  }

  // With the keyboard: left and right step along a curve and tell its values, up and down change the curve, Escape leaves.
  function keys(figure, plot) {
    var reading = figure.querySelector(".sweepbook-reading"), at = null;
    function plain(text) { var box = document.createElement("textarea"); box.innerHTML = String(text).replace(/<br>/g, ", ").replace(/<[^>]*>/g, ""); return box.value.trim(); }
    function curves() {
      return plot.data.map(function (trace, k) { return k; }).filter(function (k) {
        var trace = plot.data[k];
        return trace.visible !== false && trace.hoverinfo !== "skip" && trace.type !== "heatmap" && trace.mode !== "text" && points(k).length > 0;
      });
    }
    function points(k) {
      var trace = plot.data[k], kept = [];
      for (var n = 0; n < trace.x.length; n++) if (trace.x[n] !== null && (trace.type === "bar" || trace.y[n] !== null)) kept.push(n);
      return kept;
    }
    function unit(axis, value) {
      if (axis.tickvals && axis.labels) { var nearest = 0; axis.tickvals.forEach(function (tick, k) { if (Math.abs(tick - value) < Math.abs(axis.tickvals[nearest] - value)) nearest = k; }); value = axis.labels[nearest]; }
      var found = /\(([^,()]+(\([^)]*\))?)/.exec(axis.title && axis.title.text || ""), name = found ? found[1].trim() : "";
      return (typeof value === "number" ? String(Number(value.toPrecision(4))).replace("-", "\u2212") : value) + (name && name !== "no unit" ? (name === "\u00b0" ? name : " " + name) : "");
    }
    function say() {
      var trace = plot.data[at.curve], own = Array.isArray(trace.hovertext) ? trace.hovertext[at.point] : trace.hovertext, doubt = Array.isArray(trace.text) ? trace.text[at.point] : "";
      var name = plain(trace.name || ""), words = own ? plain(own) : unit(plot.layout.xaxis, trace.x[at.point]) + (plot.layout.yaxis.ticktext ? "" : ", " + unit(plot.layout.yaxis, trace.y[at.point])) + (doubt ? ", " + plain(doubt) : "");
      reading.textContent = own && words.indexOf(name) === 0 ? words : (name ? name + ": " : "") + words;
      if (trace.type !== "bar") try { window.Plotly.Fx.hover(plot, [{ curveNumber: at.curve, pointNumber: at.point }]); } catch (none) { }   // what is off the axes is told, not shown
    }
    function near(list, trace, x) { var best = list[0]; list.forEach(function (n) { if (Math.abs(Math.log(trace.x[n] / x)) < Math.abs(Math.log(trace.x[best] / x))) best = n; }); return best; }
    function move(key, fast) {
      var all = curves();
      if (!all.length) { reading.textContent = plot.getAttribute("aria-label"); return; }
      if (!at || all.indexOf(at.curve) < 0) { at = { curve: all[0], point: points(all[0])[0] }; return say(); }
      var list = points(at.curve), place = Math.max(0, list.indexOf(at.point)), step = fast ? Math.max(1, Math.round(list.length / 20)) : 1;
      if (key === "ArrowRight") at.point = list[Math.min(list.length - 1, place + step)];
      else if (key === "ArrowLeft") at.point = list[Math.max(0, place - step)];
      else if (key === "Home") at.point = list[0];
      else if (key === "End") at.point = list[list.length - 1];
      else {
        var next = all[(all.indexOf(at.curve) + (key === "ArrowDown" ? 1 : all.length - 1)) % all.length], x = plot.data[at.curve].x[at.point];
        at = { curve: next, point: near(points(next), plot.data[next], x) };
      }
      say();
    }
    function leave() { at = null; reading.textContent = ""; try { window.Plotly.Fx.unhover(plot); } catch (none) { } }
    plot.addEventListener("keydown", function (event) {
      if (event.target !== plot || event.altKey || event.ctrlKey || event.metaKey) return;
      if (["ArrowRight", "ArrowLeft", "ArrowUp", "ArrowDown", "Home", "End"].indexOf(event.key) >= 0) {
        move(event.key, event.shiftKey);
        event.preventDefault();
        event.stopPropagation();   // in a notebook the arrows would leave the cell
      } else if (event.key === "Escape") {
        leave();
        plot.blur();
        event.stopPropagation();
      }
    });
    plot.addEventListener("focus", function () { if (plot.matches(":focus-visible")) { plot.style.outline = "2px solid #0072B2"; plot.style.outlineOffset = "2px"; reading.textContent = "Arrow keys step through the values, Escape leaves."; } });
    plot.addEventListener("blur", function () { plot.style.outline = ""; leave(); });
  }

  function draw(id, content) {
    var figure = document.getElementById(id);
    if (!figure || figure.dataset.drawn) return;
    figure.dataset.drawn = "yes";
    var plot = figure.querySelector(".sweepbook-plot");
    words(figure, content.data, content.layout, width(figure));
    window.Plotly.newPlot(plot, content.data, look(figure, content.layout, width(figure)), { displayModeBar: false, displaylogo: false, doubleClick: "reset" });
    plot.style.minHeight = "";
    figure.querySelectorAll(".sweepbook-legend button").forEach(function (button) {
      button.addEventListener("click", function () {
        var shown = button.getAttribute("aria-pressed") !== "true", which = [];
        button.setAttribute("aria-pressed", String(shown));
        button.style.opacity = shown ? "" : ".45";
        content.data.forEach(function (trace, k) { if (trace.legendgroup === button.dataset.group) which.push(k); });
        if (which.length) window.Plotly.restyle(plot, { visible: shown }, which);
      });
    });
    keys(figure, plot);
    drawn.push({ figure: figure, plot: plot, width: width(figure) });
  }

  function again(item, total) {
    item.width = total;
    words(item.figure, item.plot.data, item.plot.layout, total);
    window.Plotly.react(item.plot, item.plot.data, look(item.figure, item.plot.layout, total));
  }

  function fit() {
    if (printing) return;
    drawn.forEach(function (item) { var total = width(item.figure); if (Math.abs(total - item.width) > 1) again(item, total); });
  }
  window.addEventListener("resize", fit);
  function told(hidden) { document.querySelectorAll(".sweepbook-reading").forEach(function (reading) { reading.style.display = hidden ? "none" : ""; }); }   // what the keyboard reads belongs to the screen
  window.addEventListener("beforeprint", function () { printing = true; told(true); drawn.forEach(function (item) { again(item, printWidth); }); });
  window.addEventListener("afterprint", function () { printing = false; told(false); drawn.forEach(function (item) { again(item, width(item.figure)); }); });
  var dark = window.matchMedia ? window.matchMedia("(prefers-color-scheme: dark)") : null;
  if (dark && dark.addEventListener) dark.addEventListener("change", function () { drawn.forEach(function (item) { again(item, item.width); }); });

  window.sweepbookDraw = function () {
    var queue = window.sweepbookQueue || [];
    while (queue.length) { var entry = queue.shift(); draw(entry[0], entry[1]); }
  };
  window.sweepbookQueue = window.sweepbookQueue || [];
  window.sweepbookDraw();
})();
