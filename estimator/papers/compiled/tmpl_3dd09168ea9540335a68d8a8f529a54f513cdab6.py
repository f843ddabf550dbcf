from jinja2.runtime import LoopContext, Macro, Markup, Namespace, TemplateNotFound, TemplateReference, TemplateRuntimeError, Undefined, escape, identity, internalcode, markup_join, missing, str_join
name = 'review.html'

def root(context, missing=missing):
    resolve = context.resolve_or_missing
    undefined = environment.undefined
    concat = environment.concat
    cond_expr_undefined = Undefined
    if 0: yield None
    l_0_review = resolve('review')
    l_0_told = missing
    try:
        t_1 = environment.filters['length']
    except KeyError:
        @internalcode
        def t_1(*unused):
            raise TemplateRuntimeError("No filter named 'length' found.")
    pass
    yield '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'">\n<title>'
    yield escape(environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'title'))
    yield '</title>\n<style>\n'
    template = environment.get_template('review.css', 'review.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {'told': l_0_told}))
    try:
        for event in gen:
            yield event
    finally: gen.close()
    yield '</style>\n</head>\n<body>\n'
    def macro(l_1_report):
        t_2 = []
        if l_1_report is missing:
            l_1_report = undefined("parameter 'report' was not provided", name='report')
        pass
        if environment.getattr(l_1_report, 'about'):
            pass
            t_2.extend((
                '<p class="other">',
                escape(environment.getattr(l_1_report, 'about')),
                '</p>\n',
            ))
        t_2.append(
            '<div class="answer">\n',
        )
        for l_2_sentence in environment.getattr(l_1_report, 'answer'):
            _loop_vars = {}
            pass
            t_2.extend((
                '<p>',
                escape(l_2_sentence),
                '</p>\n',
            ))
        l_2_sentence = missing
        t_2.append(
            '</div>\n',
        )
        if environment.getattr(l_1_report, 'picture'):
            pass
            t_2.extend((
                '<figure>\n',
                escape(environment.getattr(l_1_report, 'picture')),
                '\n',
            ))
            if environment.getattr(l_1_report, 'left_out'):
                pass
                t_2.extend((
                    '<figcaption>Drawn without the last ',
                    escape(environment.getattr(l_1_report, 'left_out')),
                    ' rows of the table.</figcaption>\n',
                ))
            t_2.append(
                '</figure>\n',
            )
        l_2_loop = missing
        t_3 = 1
        for l_2_table, l_2_loop in LoopContext(environment.getattr(l_1_report, 'tables'), undefined):
            _loop_vars = {}
            pass
            t_2.extend((
                '<div class="wide" tabindex="0" role="region" aria-label="',
                escape(environment.getattr(l_2_table, 'label')),
                '">\n<table',
            ))
            if (t_1(environment.getattr(l_2_table, 'rows')) <= 12):
                pass
                t_2.append(
                    ' class="short"',
                )
            t_2.extend((
                '>\n<caption>',
                escape(environment.getattr(l_2_table, 'caption')),
                '</caption>\n<thead>\n<tr>',
            ))
            for l_3_column in environment.getattr(l_2_table, 'columns'):
                _loop_vars = {}
                pass
                t_2.append(
                    '<th scope="col"',
                )
                if environment.getattr(l_3_column, 'figure'):
                    pass
                    t_2.append(
                        ' class="figure"',
                    )
                t_2.extend((
                    '>',
                    escape(environment.getattr(l_3_column, 'heading')),
                    '</th>',
                ))
            l_3_column = missing
            t_2.append(
                '</tr>\n</thead>\n<tbody>\n',
            )
            l_3_loop = missing
            for l_3_row, l_3_loop in LoopContext(environment.getattr(l_2_table, 'rows'), undefined):
                _loop_vars = {}
                pass
                t_2.append(
                    '<tr>',
                )
                l_4_loop = missing
                for l_4_cell, l_4_loop in LoopContext(l_3_row, undefined):
                    _loop_vars = {}
                    pass
                    if environment.getattr(l_4_loop, 'first'):
                        pass
                        t_2.append(
                            '<th scope="row"',
                        )
                        if environment.getattr(l_4_cell, 'figure'):
                            pass
                            t_2.append(
                                ' class="figure"',
                            )
                        t_2.extend((
                            '><bdi>',
                            escape(environment.getattr(l_4_cell, 'text')),
                            '</bdi></th>',
                        ))
                    else:
                        pass
                        t_2.append(
                            '<td',
                        )
                        if environment.getattr(l_4_cell, 'figure'):
                            pass
                            t_2.append(
                                ' class="figure"',
                            )
                        t_2.append(
                            '>',
                        )
                        if environment.getattr(l_4_cell, 'figure'):
                            pass
                            t_2.append(
                                escape(environment.getattr(l_4_cell, 'text')),
                            )
                        else:
                            pass
                            t_2.extend((
                                '<bdi>',
                                escape(environment.getattr(l_4_cell, 'text')),
                                '</bdi>',
                            ))
                        t_2.append(
                            '</td>',
                        )
                l_4_loop = l_4_cell = missing
                t_2.append(
                    '</tr>\n',
                )
            l_3_loop = l_3_row = missing
            t_2.append(
                '</tbody>\n',
            )
            if environment.getattr(l_2_table, 'total'):
                pass
                t_2.append(
                    '<tfoot>\n<tr>',
                )
                l_3_loop = missing
                for l_3_cell, l_3_loop in LoopContext(environment.getattr(l_2_table, 'total'), undefined):
                    _loop_vars = {}
                    pass
                    if environment.getattr(l_3_loop, 'first'):
                        pass
                        t_2.append(
                            '<th scope="row"',
                        )
                        if environment.getattr(l_3_cell, 'figure'):
                            pass
                            t_2.append(
                                ' class="figure"',
                            )
                        t_2.extend((
                            '>',
                            escape(environment.getattr(l_3_cell, 'text')),
                            '</th>',
                        ))
                    else:
                        pass
                        t_2.append(
                            '<td',
                        )
                        if environment.getattr(l_3_cell, 'figure'):
                            pass
                            t_2.append(
                                ' class="figure"',
                            )
                        t_2.extend((
                            '>',
                            escape(environment.getattr(l_3_cell, 'text')),
                            '</td>',
                        ))
                l_3_loop = l_3_cell = missing
                t_2.append(
                    '</tr>\n</tfoot>\n',
                )
            t_2.append(
                '</table>\n</div>\n',
            )
            t_3 = 0
        l_2_loop = l_2_table = missing
        if t_3:
            pass
            t_2.append(
                '<p class="quiet">Nothing to show.</p>\n',
            )
        for l_2_caution in environment.getattr(l_1_report, 'cautions'):
            _loop_vars = {}
            pass
            t_2.extend((
                '<p class="caution"><strong>Look at:</strong> ',
                escape(l_2_caution),
                '</p>\n',
            ))
        l_2_caution = missing
        return concat(t_2)
    context.exported_vars.add('told')
    context.vars['told'] = l_0_told = Macro(environment, macro, 'told', ('report',), False, False, False, context.eval_ctx.autoescape)
    yield '<header>\n<p class="marking">'
    yield escape(environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'marking'))
    yield '</p>\n<h1>'
    yield escape(environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'title'))
    yield '</h1>\n<dl>\n<dt>Period</dt><dd>'
    yield escape(environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'period'))
    yield '</dd>\n'
    for (l_1_name, l_1_value) in environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'filters'):
        _loop_vars = {}
        pass
        yield '<dt>Only '
        yield escape(l_1_name)
        yield '</dt><dd><bdi>'
        yield escape(l_1_value)
        yield '</bdi></dd>\n'
    l_1_name = l_1_value = missing
    if environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'compared'):
        pass
        yield '<dt>Compared with</dt><dd>'
        yield escape(environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'compared'))
        yield '</dd>\n'
    yield '</dl>\n</header>\n<nav aria-labelledby="questions">\n<h2 id="questions">Questions and answers</h2>\n<ol>\n'
    for l_1_report in environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'reports'):
        _loop_vars = {}
        pass
        yield '<li><a href="#'
        yield escape(environment.getattr(l_1_report, 'anchor'))
        yield '">'
        yield escape(environment.getattr(l_1_report, 'question'))
        yield '</a>'
        if environment.getattr(l_1_report, 'answer'):
            pass
            yield ' '
            yield escape(environment.getitem(environment.getattr(l_1_report, 'answer'), 0))
        yield '</li>\n'
    l_1_report = missing
    yield '</ol>\n</nav>\n<main>\n'
    for l_1_report in environment.getattr((undefined(name='review') if l_0_review is missing else l_0_review), 'reports'):
        _loop_vars = {}
        pass
        yield '<section aria-labelledby="'
        yield escape(environment.getattr(l_1_report, 'anchor'))
        yield '">\n<h2 id="'
        yield escape(environment.getattr(l_1_report, 'anchor'))
        yield '">'
        yield escape(environment.getattr(l_1_report, 'question'))
        yield '</h2>\n<p class="quiet">'
        yield escape(environment.getattr(l_1_report, 'rests_on'))
        yield '</p>\n'
        yield escape(context.call((undefined(name='told') if l_0_told is missing else l_0_told), l_1_report, _loop_vars=_loop_vars))
        yield '\n'
        if environment.getattr(l_1_report, 'other'):
            pass
            yield escape(context.call((undefined(name='told') if l_0_told is missing else l_0_told), environment.getattr(l_1_report, 'other'), _loop_vars=_loop_vars))
            yield '\n'
        yield '</section>\n'
    l_1_report = missing
    yield '</main>\n</body>\n</html>\n'

blocks = {}
debug_info = '7=20&9=22&13=29&14=34&15=38&18=44&19=49&22=56&24=60&25=63&26=67&30=75&31=80&32=83&33=90&35=93&38=114&39=121&42=175&44=181&52=228&53=233&57=241&58=243&60=245&61=247&62=251&64=256&65=259&72=262&73=266&78=277&79=281&80=283&81=287&82=289&83=291&84=293'