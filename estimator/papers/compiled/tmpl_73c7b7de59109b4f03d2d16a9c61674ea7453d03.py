from jinja2.runtime import LoopContext, Macro, Markup, Namespace, TemplateNotFound, TemplateReference, TemplateRuntimeError, Undefined, escape, identity, internalcode, markup_join, missing, str_join
name = 'pack.html'

def root(context, missing=missing):
    resolve = context.resolve_or_missing
    undefined = environment.undefined
    concat = environment.concat
    cond_expr_undefined = Undefined
    if 0: yield None
    l_0_job = resolve('job')
    l_0_revision = resolve('revision')
    l_0_firm = resolve('firm')
    l_0_kind = resolve('kind')
    l_0_on = resolve('on')
    l_0_papers = resolve('papers')
    l_0_deferral = resolve('deferral')
    try:
        t_1 = environment.filters['lower']
    except KeyError:
        @internalcode
        def t_1(*unused):
            raise TemplateRuntimeError("No filter named 'lower' found.")
    pass
    yield '<!DOCTYPE html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; style-src \'unsafe-inline\'; img-src \'self\' file:">\n<title>Papers of job '
    yield escape(environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'id'))
    yield ', revision '
    yield escape((undefined(name='revision') if l_0_revision is missing else l_0_revision))
    yield '</title>\n<style>\n'
    template = environment.get_template('quote.css', 'pack.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {}))
    try:
        for event in gen:
            yield event
    finally: gen.close()
    template = environment.get_template('pack.css', 'pack.html')
    gen = template.root_render_func(template.new_context(context.get_all(), True, {}))
    try:
        for event in gen:
            yield event
    finally: gen.close()
    yield '</style>\n</head>\n<body>\n<header class="firm"><strong>'
    yield escape((undefined(name='firm') if l_0_firm is missing else l_0_firm))
    yield '</strong></header>\n<main>\n<h1>Papers of job '
    yield escape(environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'id'))
    if environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'title'):
        pass
        yield ': '
        yield escape(environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'title'))
    yield '</h1>\n<dl>\n'
    if environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'customer'):
        pass
        yield '<dt>For</dt><dd>'
        yield escape(environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'customer'))
        yield '</dd>\n'
    if environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'address'):
        pass
        yield '<dt>At</dt><dd class="lines">'
        yield escape(environment.getattr((undefined(name='job') if l_0_job is missing else l_0_job), 'address'))
        yield '</dd>\n'
    yield '<dt>Revision</dt><dd>'
    yield escape((undefined(name='revision') if l_0_revision is missing else l_0_revision))
    yield ', '
    yield escape(t_1((undefined(name='kind') if l_0_kind is missing else l_0_kind)))
    yield '</dd>\n<dt>Date</dt><dd>'
    yield escape((undefined(name='on') if l_0_on is missing else l_0_on))
    yield '</dd>\n</dl>\n<ul>\n'
    for l_1_paper in (undefined(name='papers') if l_0_papers is missing else l_0_papers):
        _loop_vars = {}
        pass
        yield '<li><a href="'
        yield escape(environment.getattr(l_1_paper, 'file'))
        yield '">'
        yield escape(environment.getattr(l_1_paper, 'shows'))
        yield '</a></li>\n'
    l_1_paper = missing
    yield '</ul>\n'
    def t_2(fiter):
        for l_1_paper in fiter:
            if environment.getattr(l_1_paper, 'picture'):
                yield l_1_paper
    for l_1_paper in t_2((undefined(name='papers') if l_0_papers is missing else l_0_papers)):
        _loop_vars = {}
        pass
        yield '<figure><figcaption>'
        yield escape(environment.getattr(l_1_paper, 'shows'))
        yield '</figcaption><img src="'
        yield escape(environment.getattr(l_1_paper, 'file'))
        yield '" alt="'
        yield escape(environment.getattr(l_1_paper, 'shows'))
        yield '"></figure>\n'
    l_1_paper = missing
    yield '</main>\n<footer><p class="quiet">'
    yield escape((undefined(name='deferral') if l_0_deferral is missing else l_0_deferral))
    yield '</p></footer>\n</body>\n</html>\n'

blocks = {}
debug_info = '7=25&9=29&10=35&14=42&16=44&18=50&19=53&21=55&22=58&24=61&25=65&28=67&29=71&32=77&33=85&36=93'