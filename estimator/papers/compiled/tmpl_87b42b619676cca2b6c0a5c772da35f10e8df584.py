from jinja2.runtime import LoopContext, Macro, Markup, Namespace, TemplateNotFound, TemplateReference, TemplateRuntimeError, Undefined, escape, identity, internalcode, markup_join, missing, str_join
name = 'quote.html'

def root(context, missing=missing):
    resolve = context.resolve_or_missing
    undefined = environment.undefined
    concat = environment.concat
    cond_expr_undefined = Undefined
    if 0: yield None
    l_0_quote = resolve('quote')
    l_0_points = l_0_things = l_0_firm = l_0_price = l_0_terms = l_0_ways = missing
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
    def macro(l_1_entries):
        t_4 = []
        if l_1_entries is missing:
            l_1_entries = undefined("parameter 'entries' was not provided", name='entries')
        pass
        t_4.append(
            '<ul>\n',
        )
        for l_2_entry in l_1_entries:
            _loop_vars = {}
            pass
            t_4.extend((
                '<li>',
                escape(l_2_entry),
                '</li>\n',
            ))
        l_2_entry = missing
        t_4.append(
            '</ul>\n',
        )
        return concat(t_4)
    context.exported_vars.add('points')
    context.vars['points'] = l_0_points = Macro(environment, macro, 'points', ('entries',), False, False, False, context.eval_ctx.autoescape)
    def macro(l_1_entries, l_1_says):
        t_5 = []
        if l_1_entries is missing:
            l_1_entries = undefined("parameter 'entries' was not provided", name='entries')
        if l_1_says is missing:
            l_1_says = undefined("parameter 'says' was not provided", name='says')
        pass
        t_5.extend((
            '<table>\n<caption>',
            escape(l_1_says),
            '</caption>\n',
        ))
        for l_2_thing in l_1_entries:
            _loop_vars = {}
            pass
            t_5.extend((
                '<tr><td class="many">',
                escape(environment.getattr(l_2_thing, 'count')),
                '</td><td>',
                escape(environment.getattr(l_2_thing, 'name')),
                '</td></tr>\n',
            ))
        l_2_thing = missing
        t_5.append(
            '</table>\n',
        )
        return concat(t_5)
    context.exported_vars.add('things')
    context.vars['things'] = l_0_things = Macro(environment, macro, 'things', ('entries', 'says'), False, False, False, context.eval_ctx.autoescape)
    l_0_firm = environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'firm')
    context.vars['firm'] = l_0_firm
    context.exported_vars.add('firm')
    l_0_price = environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'price')
    context.vars['price'] = l_0_price
    context.exported_vars.add('price')
    l_0_terms = environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'terms')
    context.vars['terms'] = l_0_terms
    context.exported_vars.add('terms')
    yield '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'">\n<title>'
    yield escape(('Quotation' if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer') else 'Budget range'))
    yield ' '
    yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'reference'))
    yield '</title>\n<style>\n'
    template = environment.get_template('quote.css', 'quote.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {'firm': l_0_firm, 'points': l_0_points, 'price': l_0_price, 'terms': l_0_terms, 'things': l_0_things, 'ways': l_0_ways}))
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
    yield '</header>\n<main>\n<h1>'
    yield escape(('Quotation' if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer') else 'Budget range'))
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'job'):
        pass
        yield ': '
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'job'))
    yield '</h1>\n<dl>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'customer'):
        pass
        yield '<dt>For</dt><dd>'
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'customer'))
        yield '</dd>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'address'):
        pass
        yield '<dt>At</dt><dd class="lines">'
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'address'))
        yield '</dd>\n'
    yield '<dt>Reference</dt><dd>'
    yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'reference'))
    yield '</dd>\n<dt>Date</dt><dd>'
    yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'on'))
    yield '</dd>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer'):
        pass
        yield '<dt>Valid until</dt><dd>'
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'valid_until'))
        yield ': '
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'valid_because'))
        yield '. After that day we price it again.</dd>\n'
    yield '</dl>\n'
    if (not environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer')):
        pass
        yield '<div class="notice">\n<p><strong>This is a budget range, not an offer to sign.</strong> It gives an idea of the price. The firm\nprice can be lower or higher; you get it once the points below are settled.</p>\n</div>\n'
    yield '<h2>What we fit</h2>\n'
    yield escape(context.call((undefined(name='points') if l_0_points is missing else l_0_points), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'scope')))
    yield '\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'things'):
        pass
        yield escape(context.call((undefined(name='things') if l_0_things is missing else l_0_things), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'things'), 'The main parts'))
        yield '\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'options'):
        pass
        yield '<h2>What you can add</h2>\n'
        yield escape(context.call((undefined(name='things') if l_0_things is missing else l_0_things), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'options'), 'Not in the price below; ask us for the price of each'))
        yield '\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'stand_ins'):
        pass
        yield '<h2>Substitutes</h2>\n<p>These stand in for what we would usually fit. Each is as good or better in everything that safety and\nfit hang on. Tell us before you sign if you do not want one of them.</p>\n'
        yield escape(context.call((undefined(name='points') if l_0_points is missing else l_0_points), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'stand_ins')))
        yield '\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer'):
        pass
        yield '<h2>Price</h2>\n<table>\n'
        if environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'off'):
            pass
            yield '<tr><th scope="row">Price before discount, without VAT</th><td class="money">'
            yield escape(environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'before'))
            yield '</td></tr>\n<tr><th scope="row">Discount</th><td class="money">-'
            yield escape(environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'off'))
            yield '</td></tr>\n'
        yield '<tr><th scope="row">Price, without VAT</th><td class="money">'
        yield escape(environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'net'))
        yield '</td></tr>\n'
        for l_1_part in environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'tax'):
            _loop_vars = {}
            pass
            yield '<tr><th scope="row">VAT at '
            yield escape(environment.getattr(l_1_part, 'rate'))
            yield ' on '
            yield escape(environment.getattr(l_1_part, 'net'))
            yield ' ('
            yield escape(environment.getattr(l_1_part, 'because'))
            yield ')</th><td class="money">'
            yield escape(environment.getattr(l_1_part, 'vat'))
            yield '</td></tr>\n'
        l_1_part = missing
        yield '<tr class="sum"><th scope="row">To pay, with VAT</th><td class="money">'
        yield escape(environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'gross'))
        yield '</td></tr>\n</table>\n'
    else:
        pass
        yield '<h2>Budget range</h2>\n<table>\n<tr class="sum"><th scope="row">As far as we can tell, with VAT</th><td class="money">'
        yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'span'))
        yield '</td></tr>\n</table>\n'
        if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'open_ended'):
            pass
            yield '<p>Some answers cannot be priced yet, so the price may be more than that.</p>\n'
    if environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'vat_says'):
        pass
        yield '<p class="quiet">'
        yield escape(environment.getattr((undefined(name='price') if l_0_price is missing else l_0_price), 'vat_says'))
        yield '</p>\n'
    if (not environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer')):
        pass
        yield '<h2>What we still need to know</h2>\n'
        if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'to_answer'):
            pass
            yield escape(context.call((undefined(name='points') if l_0_points is missing else l_0_points), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'to_answer')))
            yield '\n'
        if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'to_settle'):
            pass
            yield '<p>'
            yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'to_settle'))
            yield ' further point'
            yield escape(('s' if (environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'to_settle') > 1) else cond_expr_undefined("the inline if-expression on line 108 in 'quote.html' evaluated to false and no else section was defined.")))
            yield ' must be settled by us before there can be a firm price.</p>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'holds_if'):
        pass
        yield '<h2>The price holds if</h2>\n'
        yield escape(context.call((undefined(name='points') if l_0_points is missing else l_0_points), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'holds_if')))
        yield '\n<p class="quiet">If it turns out otherwise, we show you what we found and agree the price in writing before we go on.</p>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'exclusions'):
        pass
        yield '<h2>What is not included</h2>\n'
        yield escape(context.call((undefined(name='points') if l_0_points is missing else l_0_points), environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'exclusions')))
        yield '\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer'):
        pass
        yield '<h2>Payment</h2>\n<ul>\n'
        if environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'deposit'):
            pass
            yield '<li>Deposit with your order: '
            yield escape(environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'deposit'))
            yield ' ('
            yield escape(environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'deposit_share'))
            yield ' of the price with VAT).</li>\n'
        if environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'advance_limit'):
            pass
            yield '<li>If we ask for a further payment in advance, it is no earlier than '
            yield escape((environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'advance_weeks') or 'three'))
            yield ' weeks before delivery, and deposit and advance together are no more than '
            yield escape(environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'advance_limit'))
            yield ' ('
            yield escape(environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'advance_share'))
            yield ').</li>\n'
        yield '<li>The rest when the system is commissioned and you have its papers.</li>\n</ul>\n<h2>Your right to cancel</h2>\n'
        if environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'cancel_days'):
            pass
            yield '<p>If you sign away from our premises, for instance at home, you can cancel without a reason until '
            yield escape(environment.getattr((undefined(name='terms') if l_0_terms is missing else l_0_terms), 'cancel_days'))
            yield ' days\nafter the last goods are delivered. A form to do so comes with the contract; a letter or an e-mail will do as well.\nWe start within that time only if you ask for it in writing; if you then cancel, you pay for what was done until then.</p>\n'
        else:
            pass
            yield '<p>The contract states your right to cancel and how to use it.</p>\n'
    yield '<h2>Please note</h2>\n<ul>\n'
    for (l_1_step, l_1_says) in environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'cautions'):
        _loop_vars = {}
        pass
        yield '<li><strong>'
        yield escape(l_1_step)
        yield '.</strong> '
        yield escape(l_1_says)
        yield '</li>\n'
    l_1_step = l_1_says = missing
    yield '</ul>\n'
    if environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'is_offer'):
        pass
        yield '<h2>Agreed</h2>\n<div class="sign">\n<div>For '
        yield escape(environment.getattr((undefined(name='firm') if l_0_firm is missing else l_0_firm), 'name'))
        yield '<br><span class="quiet">name, signature, date</span></div>\n<div>Customer<br><span class="quiet">name, signature, date</span></div>\n</div>\n'
    yield '</main>\n<footer>\n<p>'
    yield escape(environment.getattr((undefined(name='quote') if l_0_quote is missing else l_0_quote), 'deferral'))
    yield '</p>\n</footer>\n</body>\n</html>\n'

blocks = {}
debug_info = '1=31&3=39&4=44&8=54&10=63&11=66&12=71&16=83&17=86&18=89&25=93&27=97&32=104&33=106&34=109&36=111&37=114&38=117&42=120&44=126&45=129&47=131&48=134&50=137&51=139&52=141&53=144&56=149&63=153&64=155&65=157&67=159&69=162&71=164&75=167&77=169&80=172&81=175&82=177&84=180&85=182&86=186&88=196&93=201&95=203&99=206&100=209&102=211&104=214&105=216&107=218&108=221&111=225&113=228&116=230&118=233&120=235&123=238&124=241&126=245&127=248&132=255&133=258&142=264&143=268&146=274&149=277&155=280'