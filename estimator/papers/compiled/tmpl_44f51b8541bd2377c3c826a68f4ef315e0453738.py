from jinja2.runtime import LoopContext, Macro, Markup, Namespace, TemplateNotFound, TemplateReference, TemplateRuntimeError, Undefined, escape, identity, internalcode, markup_join, missing, str_join
name = 'order.html'

def root(context, missing=missing):
    resolve = context.resolve_or_missing
    undefined = environment.undefined
    concat = environment.concat
    cond_expr_undefined = Undefined
    if 0: yield None
    l_0_order = resolve('order')
    l_0_firm = l_0_ways = missing
    try:
        t_1 = environment.filters['join']
    except KeyError:
        @internalcode
        def t_1(*unused):
            raise TemplateRuntimeError("No filter named 'join' found.")
    try:
        t_2 = environment.filters['list']
    except KeyError:
        @internalcode
        def t_2(*unused):
            raise TemplateRuntimeError("No filter named 'list' found.")
    try:
        t_3 = environment.filters['select']
    except KeyError:
        @internalcode
        def t_3(*unused):
            raise TemplateRuntimeError("No filter named 'select' found.")
    pass
    l_0_firm = environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'firm')
    context.vars['firm'] = l_0_firm
    context.exported_vars.add('firm')
    yield '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'">\n<title>Purchase order '
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'number'))
    yield '</title>\n<style>\n'
    template = environment.get_template('quote.css', 'order.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {'firm': l_0_firm, 'ways': l_0_ways}))
    try:
        for event in gen:
            yield event
    finally: gen.close()
    template = environment.get_template('order.css', 'order.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {'firm': l_0_firm, 'ways': l_0_ways}))
    try:
        for event in gen:
            yield event
    finally: gen.close()
    yield '</style>\n</head>\n<body>\n<header class="firm">\n<strong>'
    yield escape(environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'name'))
    yield '</strong>\n'
    if environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'address'):
        pass
        yield '<p class="lines">'
        yield escape(environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'address'))
        yield '</p>\n'
    l_0_ways = t_2(context.eval_ctx, t_3(context, [environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'phone'), environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'email'), environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'registration')]))
    context.vars['ways'] = l_0_ways
    context.exported_vars.add('ways')
    if (undefined(name='ways') if l_0_ways is missing else l_0_ways):
        pass
        yield '<p class="quiet">'
        yield escape(t_1(context.eval_ctx, (undefined(name='ways') if l_0_ways is missing else l_0_ways), ' · '))
        yield '</p>\n'
    yield '</header>\n<main>\n<h1>Purchase order '
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'number'))
    yield '</h1>\n<dl>\n<dt>To</dt><dd>'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'supplier'))
    yield '</dd>\n<dt>Date</dt><dd>'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'on'))
    yield '</dd>\n'
    if environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'wanted'):
        pass
        yield '<dt>Wanted on</dt><dd>'
        yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'wanted'))
        yield ', at the latest</dd>\n'
    yield '<dt>Deliver to</dt><dd class="lines">'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'place'))
    if environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'address'):
        pass
        yield ', '
        yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'address'))
    yield '</dd>\n'
    if environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'receiver'):
        pass
        yield '<dt>Received by</dt><dd>'
        yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'receiver'))
        yield '</dd>\n'
    yield '</dl>\n'
    if environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'note'):
        pass
        yield '<p class="notice">'
        yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'note'))
        yield '</p>\n'
    yield '<table class="goods">\n<thead>\n<tr><th scope="col">No.</th><th scope="col">Your code</th><th scope="col">Our code</th><th scope="col">What</th><th scope="col">Quantity</th><th scope="col" class="money">Price</th><th scope="col" class="money">Amount</th></tr>\n</thead>\n'
    for l_1_line in environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'lines'):
        _loop_vars = {}
        pass
        yield '<tbody>\n<tr class="goods">\n<td>'
        yield escape(environment.getattr(l_1_line, 'line'))
        yield '</td><td class="codes">'
        yield escape(environment.getattr(l_1_line, 'theirs'))
        yield '</td><td class="codes">'
        yield escape(environment.getattr(l_1_line, 'ours'))
        yield '</td>\n<td>'
        yield escape(environment.getattr(l_1_line, 'name'))
        yield '</td>\n<td class="units">'
        yield escape(environment.getattr(l_1_line, 'units'))
        yield '</td>\n<td class="money">'
        yield escape(environment.getattr(l_1_line, 'price'))
        yield '</td><td class="money">'
        yield escape(environment.getattr(l_1_line, 'cost'))
        yield '</td>\n</tr>\n<tr>\n<td></td>\n<td colspan="6" class="quiet">'
        if environment.getattr(l_1_line, 'packs'):
            pass
            yield 'Packs: '
            yield escape(environment.getattr(l_1_line, 'packs'))
            yield '. '
        yield 'Price: '
        yield escape(environment.getattr(l_1_line, 'quoted'))
        yield '.'
        if environment.getattr(l_1_line, 'wanted'):
            pass
            yield ' Wanted on '
            yield escape(environment.getattr(l_1_line, 'wanted'))
            yield '.'
        if environment.getattr(l_1_line, 'serials'):
            pass
            yield ' Please send a list of the serial numbers.'
        if environment.getattr(l_1_line, 'cut'):
            pass
            yield ' Cutting to length '
            yield escape(environment.getattr(l_1_line, 'cut'))
            yield '.'
        yield '</td>\n</tr>\n</tbody>\n'
    l_1_line = missing
    yield '</table>\n<table>\n<tr><th scope="row">Goods</th><td class="money">'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'goods'))
    yield '</td></tr>\n<tr><th scope="row">Carriage</th><td class="money">'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'carriage'))
    yield '</td></tr>\n<tr class="sum"><th scope="row">In all, without VAT</th><td class="money">'
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'total'))
    yield '</td></tr>\n</table>\n<p>Please name order '
    yield escape(environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'number'))
    yield ' on the delivery note and the invoice, and tell us before you send anything at another price or on another day.</p>\n'
    for l_1_says in environment.getattr((undefined(name='order') if l_0_order is missing else l_0_order), 'terms'):
        _loop_vars = {}
        pass
        yield '<p class="notice">'
        yield escape(l_1_says)
        yield '</p>\n'
    l_1_says = missing
    yield '</main>\n</body>\n</html>\n'

blocks = {}
debug_info = '1=31&8=35&10=37&11=43&16=50&17=52&18=55&20=57&21=60&22=63&26=66&28=68&29=70&30=72&31=75&33=78&34=84&35=87&38=90&39=93&45=96&48=100&49=106&50=108&51=110&55=114&61=138&62=140&63=142&65=144&66=146&67=150'